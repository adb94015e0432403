"""Files that appear complete or not at all."""

import errno
import io
import os
import stat
from collections.abc import Collection, Mapping
from pathlib import Path

LONGEST_NAME = 200
"""Letters of a name that its unfinished neighbour keeps: file systems take 255 bytes."""

STREAMS = ("/dev/", "/proc/")
"""Where names stand for open files, which are written to and never replaced."""


def write_whole(path: str | os.PathLike, data: str | bytes) -> None:
    """Write a file through a neighbour that takes its place only when complete.

    Symbolic and hard links are written through and permissions stay; pipes and devices are written to as they are.

    Parameters
    ----------
    path : path
    data : str or bytes
        Text is written as UTF-8 with the line ends it has.

    Raises
    ------
    OSError
        The file cannot be written, by the name given; the old file, if any, is untouched.
    """
    named = os.fspath(path)
    content = data.encode("utf-8") if isinstance(data, str) else data
    try:
        if os.path.exists(named) and (named.startswith(STREAMS) or not os.path.isfile(named)):
            with open(named, "ab", buffering=0) as file:
                _write_all(file, content)
        else:
            _write(os.path.realpath(named), content)
    except OSError as error:
        # The neighbour's name would tell the user nothing.
        raise type(error)(error.errno, error.strerror or str(error), named) from None


def _write(target: str, content: bytes) -> None:
    old = os.stat(target) if os.path.exists(target) else None
    if old is not None and not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), target)
    folder, name = os.path.split(target)
    partial = os.path.join(folder, f".{name[:LONGEST_NAME]}.{os.urandom(4).hex()}.part")
    try:
        with open(partial, "wb") as file:
            file.write(content)
        if old is not None and old.st_nlink > 1:
            # The disk had room for the neighbour; the other names of the file must show the same.
            import shutil

            shutil.copyfile(partial, target)
            os.unlink(partial)
            return
        if old is not None:
            os.chmod(partial, stat.S_IMODE(old.st_mode))
        os.replace(partial, target)
    except BaseException:
        if os.path.exists(partial):
            os.unlink(partial)
        raise


def _write_all(file: io.FileIO, content: bytes) -> None:
    view = memoryview(content)
    while view:
        view = view[file.write(view) :]


def write_folder(folder: str | os.PathLike, files: Mapping[str, str | bytes], *, private: Collection[str] = ()) -> None:
    """Write a new folder through a neighbour that takes its name only when complete.

    Parameters
    ----------
    folder : path
        Must not be there yet.
    files : mapping
        Content by name within the folder, which may name a folder in it; text is written as UTF-8.
    private : collection of str
        Names of files, or of folders with all that they hold, that nobody else may read.

    Raises
    ------
    OSError
        The folder is there already, or cannot be written; nothing is left behind then.
    """
    named = os.fspath(folder)
    target = os.path.abspath(named)
    if os.path.lexists(target):
        raise FileExistsError(errno.EEXIST, "is there already and stays as it is", named)
    try:
        _write_draft(target, files, private)
    except OSError as error:
        raise type(error)(error.errno, error.strerror or str(error), named) from None


def _write_draft(target: str, files: Mapping[str, str | bytes], private: Collection[str]) -> None:
    # Both take a while to load, and most commands write nothing.
    import shutil
    import tempfile

    os.makedirs(os.path.dirname(target), exist_ok=True)
    draft = tempfile.mkdtemp(prefix=f".{os.path.basename(target)[:LONGEST_NAME]}.", dir=os.path.dirname(target))
    try:
        for name, data in files.items():
            path = Path(draft, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
            if name in private:
                path.chmod(0o600)
        for name in private:
            if Path(draft, name).is_dir():
                _close_folder(Path(draft, name))
        os.chmod(draft, 0o755)
        os.rename(draft, target)
    except BaseException:
        shutil.rmtree(draft, ignore_errors=True)
        raise


def _close_folder(folder: Path) -> None:
    for path in folder.rglob("*"):
        path.chmod(0o700 if path.is_dir() else 0o600)
    folder.chmod(0o700)
