"""The invented tract planned from Python: its figures, their working, the count of years.

Run it with `python docs/examples/plan_from_python.py`.
"""

import tempfile
from pathlib import Path

from fencerow.exchange.demo import AS_OF
from fencerow.plan.plan import make_plan
from fencerow.plan.show import explain, text
from fencerow.store.given import given_of
from fencerow.store.invented import build

with tempfile.TemporaryDirectory() as folder:
    store = build(Path(folder) / "demo")
    plan = make_plan(given_of(store, AS_OF))

path = plan.path("order.harrow-field.lime")
print("Harrow Field, lime:", text(plan.nodes.by_path[path]))
for step in explain(plan.nodes, path)[:6]:
    print("  " * step.depth + f"{step.name}: {step.value}  {step.working}")

finish = plan.sections["work"].body.finish
print(f"all done in {finish.years.value} of {finish.of_years.value} years")
for year, why in finish.failed.items():
    print(f"  {year}: {why}")

for sit in plan.sections["siting"].body.places.values():
    print(f"{sit.name}: wants wind from {text(sit.wants)}")
