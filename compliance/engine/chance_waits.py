"""Counted days of waits, drawn from the streams of their steps."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from compliance.engine.chance_draws import (
    Counts,
    Floats,
    draw_normals,
    draw_uniforms,
    log_mail_left,
    log_office_left,
    mail_days,
    office_days,
    office_days_beyond,
)
from compliance.engine.columns_passes import Columns
from compliance.engine.columns_tables import Column, Places
from compliance.engine.moves import Wait
from compliance.engine.network import NetworkBuilder, Step
from compliance.engine.turnaround import OfficeDraws, is_office_wait
from compliance.rules.model import StepKind

_SHIFT = 1_009


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Waits:
    """Where the days of waits are drawn from."""

    columns: Columns
    builder: NetworkBuilder
    steps: Mapping[str, Step]
    offices: Mapping[str, OfficeDraws]
    draws: int
    seed: int
    later: dict[int, Floats] = field(default_factory=dict)

    def is_drawn(self, at: int) -> bool:
        """Tell whether the days of a task are uncertain."""
        step = self.steps.get(self.columns.network.order[at])
        if step is None or step.row.kind is not StepKind.WAIT:
            return False
        if step.row.mail:
            lead = self.builder.lead(step)
            return lead.fast < lead.slow
        return is_office_wait(step.row)

    def uniforms(self, at: int, *more: str) -> Floats:
        """Draw uniform numbers from the stream of a task."""
        return draw_uniforms(self.seed, self.draws, self.columns.network.order[at], *more)

    def find(self, at: int, rows: Places | None = None, *more: str) -> Column:
        """Draw the days of a wait for some rows, or all; those of a fixed one are its own."""
        if not self.is_drawn(at):
            move = self.columns.network.tasks[at].move
            return self.columns.tables.count(move.days if isinstance(move, Wait) else 0, "days")
        name = self.columns.network.order[at]
        kind = draw_normals if self.is_office(at) else draw_uniforms
        drawn = kind(self.seed, self.draws, name, *more)
        return self._count(at, drawn if rows is None else drawn[rows], rows)

    def find_later(self, at: int, first: int, rows: Places, round_number: int) -> Column:
        """Draw the days of a wait in a further round for some rows.

        The numbers are those of one stream for all later rounds of the step, *first* being its
        place in the first of them; each round takes them from another row on, so that no row uses
        one twice, and rounds that hardly ever happen cost little.
        """
        name = self.columns.network.order[first]
        kind = draw_normals if self.is_office(at) else draw_uniforms
        drawn = self.later.get(first)
        if drawn is None:
            drawn = self.later[first] = kind(self.seed, self.draws, name, "later")
        return self._count(at, drawn[(rows + _SHIFT * round_number) % self.draws], rows)

    def _count(self, at: int, drawn: Floats, rows: Places | None) -> Column:
        step = self.steps[self.columns.network.order[at]]
        if step.row.mail:
            counted = mail_days(self.builder.lead(step), drawn)
        else:
            counted = office_days(*self._office(step, rows), drawn)
        return self.columns.tables.count(counted, "days")

    def log_left(self, at: int, rows: Places, over: Counts) -> Floats:
        """Give the logarithm of the chance that an uncertain wait takes more than days gone by."""
        step = self.steps[self.columns.network.order[at]]
        if step.row.mail:
            return log_mail_left(self.builder.lead(step), over)
        return log_office_left(*self._office(step, rows), over)

    def find_beyond(self, at: int, rows: Places, over: Counts) -> Column:
        """Draw the days of an uncertain wait for some rows from beyond days that have gone by."""
        step = self.steps[self.columns.network.order[at]]
        drawn = self.uniforms(at, "beyond")[rows]
        if step.row.mail:
            left = drawn * np.exp(self.log_left(at, rows, over))
            counted = np.maximum(mail_days(self.builder.lead(step), left), over + 1)
        else:
            counted = office_days_beyond(*self._office(step, rows), drawn, over)
        return self.columns.tables.count(counted, "days")

    def is_office(self, at: int) -> bool:
        """Tell whether a task waits for an office that takes uncertain days."""
        step = self.steps.get(self.columns.network.order[at])
        return step is not None and is_office_wait(step.row)

    def _office(self, step: Step, rows: Places | None) -> tuple[Floats, Floats]:
        office = self.offices[step.row.id]
        if rows is None:
            return office.median, office.sigma
        return office.median[rows], office.sigma[rows]
