"""Gang sheets: many print pictures laid on one film, as pixels and as a page.

Comes in: sizes of pictures, widths and gaps of a film, pixels when they are asked for.
Goes out: where each picture lies, bands of pixels, bytes of files in portions.
Never done here: reading or writing files, choosing pictures.
"""
