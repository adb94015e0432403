"""Files that appear whole or not at all."""

import os


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
