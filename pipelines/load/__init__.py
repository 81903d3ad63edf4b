"""A drop folder into ``raw.*``: every field as text, with its file and physical line.

``drop`` finds the files, ``prove`` proves what each one is, ``read`` turns it into records and
``store`` keeps them; ``versions`` says which record of a key counts.
"""

from pipelines.load.drop import DropFile, find_files
from pipelines.load.load import LoadSummary, load_drop
from pipelines.load.store import create_schemas

__all__ = ["DropFile", "LoadSummary", "create_schemas", "find_files", "load_drop"]
