"""Values -> words: JSON records, CSV rows and text for people.

Comes in: measurements, pairs, outputs, findings. Goes out: dictionaries of plain values and strings.
Never done here: files, printing, decisions.
"""
