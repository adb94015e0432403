"""Files that appear whole or not at all."""

import errno
import os
import shutil
import tempfile
from collections.abc import Collection, Mapping
from pathlib import Path


def write_whole(path: str | os.PathLike, data: str | bytes) -> None:
    """Write a file through a neighbour that takes its place only when complete.

    Parameters
    ----------
    path : path
    data : str or bytes
        Text is written as UTF-8 with the line ends it has.

    Raises
    ------
    OSError
        The folder cannot be written; the old file, if any, is untouched.
    """
    target = os.fspath(path)
    folder, name = os.path.split(target)
    partial = os.path.join(folder, f".{name}.{os.urandom(4).hex()}.part")
    try:
        with open(partial, "wb") as file:
            file.write(data.encode("utf-8") if isinstance(data, str) else data)
        os.replace(partial, target)
    except BaseException:
        if os.path.exists(partial):
            os.unlink(partial)
        raise


def write_folder(folder: str | os.PathLike, files: Mapping[str, str | bytes], *, private: Collection[str] = ()) -> None:
    """Write a new folder through a neighbour that takes its name only when complete.

    Parameters
    ----------
    folder : path
        Must not be there yet.
    files : mapping
        Content by name within the folder, which may name a folder in it; text is written as UTF-8.
    private : collection of str
        Names of files that nobody else may read.

    Raises
    ------
    OSError
        The folder is there already, or cannot be written; nothing is left behind then.
    """
    target = os.path.abspath(os.fspath(folder))
    if os.path.lexists(target):
        raise FileExistsError(errno.EEXIST, "is there already and stays as it is", target)
    os.makedirs(os.path.dirname(target), exist_ok=True)
    draft = tempfile.mkdtemp(prefix=f".{os.path.basename(target)}.", dir=os.path.dirname(target))
    try:
        for name, data in files.items():
            path = Path(draft, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
            if name in private:
                path.chmod(0o600)
        os.chmod(draft, 0o755)
        os.rename(draft, target)
    except BaseException:
        shutil.rmtree(draft, ignore_errors=True)
        raise
