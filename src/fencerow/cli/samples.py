"""The soil samples as a file, or on the terminal."""

from __future__ import annotations

from pathlib import Path

import typer

from fencerow.exchange.samples import count_bags, samples_csv
from fencerow.plan.plan import Plan
from fencerow.store.files import write_whole
from fencerow.words import BadInput, say


def write_samples(plan: Plan, out: Path | None) -> None:
    """Write or print the samples that a plan asks for.

    Raises:
        BadInput: the file cannot be written.
    """
    plots = plan.sections["sampling"].body
    if out is None:
        typer.echo(samples_csv(plots), nl=False)
        return
    try:
        write_whole(out, samples_csv(plots).encode())
    except OSError as error:
        raise BadInput("samples-unwritable", file=out, why=error.strerror or error) from None
    typer.echo(say("cli-samples-done", count=count_bags(plots), file=out))
