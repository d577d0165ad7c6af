"""What the outlets and devices of a rig showed over the years, read from the log: series, and what drifts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from fieldlog.model.record import Record
from fieldlog.model.rig import Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.proving import ChangeScopes
from fieldlog.reports.series import Pedestals, Series, device_series, outlet_series
from fieldlog.reports.series_words import SeriesAlarm, flag_of
from fieldlog.reports.trends import scopes_or_none, wiring_marks
from fieldlog.store.chains import newest_of
from fieldlog.store.ends import readable_logs
from fieldlog.store.session import Transaction

MOST_OF_ONE, MOST_OF_EACH, MOST_ARRIVALS = 240, 24, 480
"""Own choices: twenty years of a reading a month on a thing's own page, two on a page of all."""
ARRIVALS_OF_EACH: Final = 48
MOST_KNOWN: Final = 32
_KNOWN: dict[object, Mapping[str, Sequence[SeriesAlarm]]] = {}


@dataclass(frozen=True)
class Reader:
    """Reads the series of a rig's things; the arrival checks, which tell the site apart, are read once."""

    tx: Transaction
    account: str
    rig: Rig
    rulebook: Rulebook
    arrivals: Sequence[Record]
    pedestals: Pedestals
    touched: ChangeScopes | None
    most: int = MOST_OF_ONE

    @classmethod
    def of(
        cls, tx: Transaction, account: str, rig: Rig, rulebook: Rulebook, most_arrivals: int = MOST_ARRIVALS
    ) -> "Reader":
        """Begin to read."""
        found = newest_of(tx, account, "arrival-check", None, most_arrivals)
        arrivals = [entry.record for entry in found]
        read = Pedestals.of(arrivals, rulebook)
        return cls(tx, account, rig, rulebook, arrivals, read, scopes_or_none(rig))

    def at_most(self, most: int) -> "Reader":
        """Give one that reads fewer of each thing."""
        return replace(self, most=most)

    def outlet(self, outlet: str) -> tuple[Series, ...]:
        """Give the series of an outlet."""
        marks = wiring_marks(self.touched.changes_of_outlet(outlet)) if self.touched else ()
        return outlet_series(self._records("outlet-test", outlet), self.pedestals, marks, self.rulebook)

    def device(self, device: str) -> tuple[Series, ...]:
        """Give the series of a ground-fault device."""
        marks = wiring_marks(self.touched.changes_of_device(device)) if self.touched else ()
        return device_series(self._records("trip-test", device), marks)

    def _records(self, kind: str, subject: str) -> list[Record]:
        found = newest_of(self.tx, self.account, kind, subject, self.most, self.rig.id)
        return [entry.record for entry in found]


def drifts_of(
    tx: Transaction, account: str, rig: Rig, rulebook: Rulebook
) -> Mapping[str, Sequence[SeriesAlarm]]:
    """Give what drifts by the id of its outlet or device.

    It follows from the logs and the rulebook alone, and is worked out anew once either of them is another.
    """
    ends = tuple(sorted((*key, *end) for key, end in readable_logs(tx, account).items()))
    known = (account, rig.id, rulebook.id, ends)
    if known not in _KNOWN:
        while len(_KNOWN) >= MOST_KNOWN:
            _KNOWN.pop(next(iter(_KNOWN)), None)
        _KNOWN[known] = _drifts(Reader.of(tx, account, rig, rulebook, ARRIVALS_OF_EACH))
    return _KNOWN[known]


def _drifts(reader: Reader) -> Mapping[str, Sequence[SeriesAlarm]]:
    some = reader.at_most(MOST_OF_EACH)
    series = {
        **{each.id: some.outlet(each.id) for each in reader.rig.outlets},
        **{each.id: some.device(each.id) for each in reader.rig.devices if each.is_guard},
    }
    return {
        identity: found
        for identity, told in series.items()
        if (found := [flag for one in told if (flag := flag_of(one, told)) is not None])
    }
