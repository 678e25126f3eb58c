"""The only room that touches the seller's files: list, read once, write whole or not at all, lock.

Comes in: paths and bytes. Goes out: sources, bytes, texts, and whole files in one output folder.
Never done here: looking into a drawing, or deciding what is made.
"""

from vectorprep.store.disk import hash_file
from vectorprep.store.outfolder import OutFolder, Written, check_out_folder
from vectorprep.store.plain import FolderReader, free_bytes, write_beside, write_file
from vectorprep.store.shown import shown
from vectorprep.store.sources import Scan, Skipped, Source, read_source, scan
from vectorprep.store.texts import SETTINGS_NAME, builtin_profiles, find_settings, package_folder, read_data, read_folder, read_text

__all__ = [
    "SETTINGS_NAME",
    "FolderReader",
    "OutFolder",
    "Scan",
    "Skipped",
    "Source",
    "Written",
    "builtin_profiles",
    "check_out_folder",
    "find_settings",
    "free_bytes",
    "hash_file",
    "package_folder",
    "read_data",
    "read_folder",
    "read_source",
    "read_text",
    "scan",
    "shown",
    "write_beside",
    "write_file",
]
