"""Processes of their own for what is to be killed, and what they tell."""

from contextlib import suppress


def start(apart, work, folder, *more):
    heard, tell = apart.Pipe(duplex=False)
    process = apart.Process(target=work, args=(folder, tell, *more), daemon=True)
    process.start()
    tell.close()  # the process holds the only other end: it ends with the process
    return process, heard


def hear(heard, count=None):
    """So many words of a process, or all that it said until it ended."""
    said = []
    with suppress(EOFError, OSError):
        while count is None or len(said) < count:
            said.append(heard.recv())
    return said
