"""Files that appear whole or not at all."""

import os
from pathlib import Path


def is_there(path: Path) -> bool:
    """Whether something of this name is there; a name that is too long to be one is not."""
    return os.path.exists(path)  # noqa: PTH110 (Path.exists raises)


def replace_whole(target: Path, content: bytes) -> None:
    """Put ``content`` in ``target``; whoever reads it sees the old or the new. Raises OSError."""
    # opened by name rather than by tempfile, whose files nobody else may read
    beside = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        with beside.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
