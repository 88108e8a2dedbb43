"""A process of its own that writes, and tells the id of each entry once it is acknowledged."""

import json
import secrets
from datetime import UTC, datetime

from fencerow.store import Store, migrate, tables
from fencerow.store.bring import bring
from fencerow.tract.entry import Draft
from fencerow.words import BadInput


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


def write_until_cut(folder, tell, name):
    """Write until the server is gone; its last word is what was said of the entry then."""
    try:
        write(folder, tell, name)
    except BadInput as error:
        tell.send(error.message.id)
    tell.close()


def back_up(folder, tell):
    """Back up until killed."""
    store = Store.open(folder)
    while True:
        tell.send(str(store.backup()))


def keep_photos(folder, tell):
    """Keep a photo and a note that names it, again and again, until killed."""
    store = Store.open(folder)
    while True:
        sha256, _ = store.keep_file(secrets.token_bytes(300_000), "photo")
        store.write([Draft("note", sha256, {"text": "a track", "photo": sha256})])
        tell.send(sha256)


def bring_in(folder, tell, home, plots):
    """Import file after file of so many plots, until killed."""
    store, number = Store.open(folder), 0
    while True:
        number += 1
        file = home / f"plots-{number}.geojson"
        file.write_text(json.dumps(squares(number, plots)))
        bring(store, file, [], "", "Ada", lambda: datetime.now(UTC))
        tell.send(number)


def squares(number, plots):
    """So many small plots beside one another."""
    features = []
    for n in range(plots):
        west, south = -90 + n * 0.002, 40 + number * 0.002
        east, north = west + 0.001, south + 0.001
        ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
        shape = {"type": "Polygon", "coordinates": [ring]}
        named = {"name": f"Plot {number}-{n}", "kind": "plot"}
        features.append({"type": "Feature", "properties": named, "geometry": shape})
    return {"type": "FeatureCollection", "features": features}


def bring_up(folder, tell, steps, head):
    """Open a record that a step of these brings up."""
    migrate.STEPS, tables.HEAD = steps, head
    tell.send("ready")
    Store.open(folder)
    tell.send("done")
    tell.close()
