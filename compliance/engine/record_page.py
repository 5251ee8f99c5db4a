"""A record with all that the rules say of it: what it lacks, whether it is late, how long kept."""

from dataclasses import dataclass, replace
from datetime import date

from compliance.engine.record_keep import Kept
from compliance.engine.record_time import WriteBy, ask_rules, list_missed
from compliance.engine.records import Lacking, RecordRules
from compliance.facts.records import Application
from compliance.rules.model import GapRow, RecordRow


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordPage:
    """A record and all that the rules say of it.

    ``versions`` are all of them, the one that stands last. ``rules`` are the state's first.
    ``missed`` are the times to write it that its first version did not keep, by the work as it
    stands or as it was first written. ``kept`` is the longest of all versions, ``longest`` the
    version it is of, ``kept_alone`` what the one that stands asks for by itself. ``gaps`` are what
    no rule was found about in its state.
    """

    record: Application
    versions: tuple[Application, ...]
    rules: tuple[RecordRow, ...]
    lacking: tuple[Lacking, ...]
    missed: tuple[WriteBy, ...]
    kept: Kept
    kept_alone: Kept
    longest: Application
    gaps: tuple[GapRow, ...] = ()

    @property
    def missing(self) -> tuple[str, ...]:
        """Give every element some rule asks for that is not there, each once."""
        return tuple(dict.fromkeys(name for one in self.lacking for name in one.elements))

    @property
    def late(self) -> tuple[WriteBy, ...]:
        """Give the times of rules that were not kept."""
        return tuple(one for one in self.missed if not (one.is_careful or one.is_early))

    @property
    def careless(self) -> tuple[WriteBy, ...]:
        """Give the times of careful practice that were not kept, where no rule has one."""
        return tuple(one for one in self.missed if one.is_careful and not one.is_early)

    @property
    def early(self) -> tuple[WriteBy, ...]:
        """Give every time when it was first written before its work as it stands."""
        return tuple(one for one in self.missed if one.is_early)


def look_at(rules: RecordRules, versions: tuple[Application, ...]) -> RecordPage:
    """Ask the rules about a record; it is kept as long as any of its versions asks for.

    It was written on the day of its first version, since later ones only correct it; when that day
    is not known, it is not called late.
    """
    record = versions[-1]
    asked = ask_rules(rules, versions)
    kept = [rules.find_kept(one) for one in versions]
    # Of equal times that of the version that stands is the one to name.
    at = max(range(len(kept)), key=lambda one: (kept[one].through or date.min, one))
    return RecordPage(
        record=record,
        versions=versions,
        rules=asked.rows,
        lacking=asked.lacking,
        missed=list_missed(asked),
        kept=kept[-1] if record is versions[at] else _as_known_now(kept[at], kept[-1]),
        kept_alone=kept[-1],
        longest=versions[at],
        gaps=rules.find_gaps(record),
    )


def _as_known_now(longest: Kept, alone: Kept) -> Kept:
    """Give the longest time; whether the state's rule is known is asked of the one that stands."""
    return replace(longest, state_known=alone.state_known)
