"""A process of its own that writes, and tells the id of each entry once it is acknowledged."""

from fencerow.store import Store
from fencerow.tract.entry import Draft


def write(folder, tell, name, count=1_000_000):
    """Write until killed, or so many times; three entries at a time, so a kill may fall between."""
    store = Store.open(folder)
    for n in range(count):
        body = {"low": n, "likely": n, "high": n}
        batch = [Draft("deer", s, body) for s in ("deer", f"deer-{name}", f"deer-{name}-2")]
        tell.send([e.id for e in store.write(batch, author=name)])
        if n % 5 == 4:
            store.tract()  # projects, so that a kill may fall there
    tell.close()


def back_up(folder, tell):
    """Back up until killed."""
    store = Store.open(folder)
    while True:
        tell.send(str(store.backup()))
