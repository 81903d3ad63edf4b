"""File names made from codes and numbers of the group."""

import hashlib
import re


def file_name(key: str) -> str:
    """A part of a file name that every file system takes, that no two keys share and that stays.

    A key that is not plain capitals and digits gets a part of its hash: shared drives fold case.
    """
    if re.fullmatch(r"[A-Z0-9]+(-[A-Z0-9]+)*", key):
        return key
    safe = re.sub(r"[^A-Za-z0-9-]", "_", key)[:40]
    return f"{safe}_{hashlib.sha256(key.encode()).hexdigest()[:10]}"
