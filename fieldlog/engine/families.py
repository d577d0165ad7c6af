"""The families of outlets: contacts, wirings that have names, and those generated from deviations."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, product

from fieldlog.engine.wiring import Wiring
from fieldlog.model.contacts import SPLIT_PHASE, THREE_WIRE


@dataclass(frozen=True)
class Explanation:
    """An explanation: one wiring, or several that one name stands for.

    Parameters
    ----------
    id : str
        Its id, or the joins written out.
    variants : tuple of Wiring
        Each as likely as the other.
    is_named : bool
        Whether the trade has a name for it; an unnamed one counts as something else.
    """

    id: str
    variants: tuple[Wiring, ...]
    is_named: bool = True


@dataclass(frozen=True)
class Family:
    """Outlets with the same contacts.

    Parameters
    ----------
    id : str
        "three-wire" or "split-phase".
    contacts : tuple of str
        In the order of a wiring's joins.
    right : str
        The joins of right wiring.
    pairs, acrosses : tuple of str
        What a meter reads, where a load may hang.
    testers : mapping of str to tuple of str
        Lamp testers by name, with the pairs of their lamps; "lamps" has one between every two.
    mirror : mapping of str to str
        What each pair becomes with the two hots swapped; empty where the outlet has one hot.
    named, known_unnamed : tuple of Explanation
        Explanations in rulebook order; the latter without a name of their own.
    """

    id: str
    contacts: tuple[str, ...]
    right: str
    pairs: tuple[str, ...]
    acrosses: tuple[str, ...]
    testers: Mapping[str, tuple[str, ...]]
    mirror: Mapping[str, str]
    named: tuple[Explanation, ...]
    known_unnamed: tuple[Explanation, ...] = ()

    @property
    def lamp_pairs(self) -> tuple[str, ...]:
        """Give every pair that a lamp may sit between."""
        return self.testers["lamps"]


def _one(name: str, joins: str, **more: bool | str) -> Explanation:
    return Explanation(name, (Wiring(joins, **more),))  # type: ignore[arg-type]  # flags by keyword


THREE_WIRE_FAMILY = Family(
    id="three-wire",
    contacts=THREE_WIRE.contacts,
    right="HNG",
    pairs=THREE_WIRE.pairs,
    acrosses=THREE_WIRE.acrosses,
    testers={"lamps": THREE_WIRE.usual},
    mirror={},
    named=(
        _one("correct", "HNG"),
        _one("dead", "HNG", energised=False),
        _one("open-hot", "-NG"),
        _one("open-neutral", "H-G"),
        _one("open-ground", "HN-"),
        _one("open-neutral-and-ground", "H--"),
        _one("hot-neutral-reversed", "NHG"),
        _one("hot-ground-reversed", "GNH"),
        _one("neutral-ground-reversed", "HGN"),
        _one("neutral-ground-bonded", "HN-", bonded=True),
        _one("reversed-with-bonded-ground", "NH-", bonded=True),
        _one("open-ground-and-reversed", "NH-"),
        _one("open-hot-and-reversed", "-HG"),
        _one("open-neutral-with-load", "H-G", load=True),
        _one("two-hots", "HXG"),
        _one("two-hots-open-ground", "HX-"),
        _one("same-hot-twice", "HHG"),
        _one("ground-joined-to-hot", "HNH"),
        _one("leaking-appliance", "HN-", leak=True),
        _one("floating-supply", "HNG", floating=True),
        _one("high-resistance-hot", "HNG", loose="H"),
        _one("high-resistance-neutral", "HNG", loose="N"),
    ),
    known_unnamed=(
        Explanation(
            "neutral-lost-upstream",
            (Wiring("HNG", lost_neutral="source"), Wiring("HNG", lost_neutral="service")),
            is_named=False,
        ),
    ),
)

SPLIT_PHASE_FAMILY = Family(
    id="split-phase",
    contacts=SPLIT_PHASE.contacts,
    right="HXNG",
    pairs=SPLIT_PHASE.pairs,
    acrosses=tuple(pair for pair in SPLIT_PHASE.usual if pair in SPLIT_PHASE.acrosses),
    testers={
        "lamps": SPLIT_PHASE.usual,
        "lamps x": ("x-n", "x-g", "n-g"),
        "lamps y": ("y-n", "y-g", "n-g"),
    },
    mirror={"x-n": "y-n", "y-n": "x-n", "x-g": "y-g", "y-g": "x-g", "x-e": "y-e", "y-e": "x-e"},
    named=(
        _one("correct", "HXNG"),
        _one("dead", "HXNG", energised=False),
        Explanation("leg-dead", (Wiring("-XNG"), Wiring("DXNG"))),
        _one("open-neutral", "HX-G"),
        _one("open-ground", "HXN-"),
        Explanation(
            "lost-neutral", (Wiring("HXNG", lost_neutral="source"), Wiring("HXNG", lost_neutral="service"))
        ),
        _one("same-leg", "HHNG"),
        _one("leg-neutral-swapped", "NXHG"),
        _one("leg-ground-swapped", "GXNH"),
        _one("leg-ground-joined", "HXNH"),
        _one("neutral-ground-reversed", "HXGN"),
        _one("neutral-ground-bonded", "HXN-", bonded=True),
        _one("floating-supply", "HXNG", floating=True),
        _one("high-resistance-hot", "HXNG", loose="H"),
        _one("high-resistance-neutral", "HXNG", loose="N"),
    ),
)
FAMILIES: Mapping[str, Family] = {family.id: family for family in (THREE_WIRE_FAMILY, SPLIT_PHASE_FAMILY)}


def generated(family: Family, chances: Mapping[str, float]) -> Iterator[tuple[Explanation, float]]:
    """Go through every way to join the contacts that has no name of its own and is likely enough.

    Parameters
    ----------
    family : Family
        Contacts and named wirings.
    chances : mapping of str to float
        "open", "wrong-conductor" and "swapped": how likely one such deviation is; "cut-below".

    Yields
    ------
    tuple of Explanation and float
        The wiring and its prior: the product over contacts, or that of one swap of two conductors.

    Notes
    -----
    Which of the two hots feeds a contact shows nowhere, so mirror images through them are left out: where the
    outlet has one hot the other one alone, where it has two the later of each pair, whose prior goes to the
    earlier. Ground and neutral contacts on one conductor are the bonded wirings, which have names.
    """
    taken = {variant.joins for named in family.named for variant in named.variants} | {"HNN", "NHH", "HXNN"}
    for letters in product("HXNG-", repeat=len(family.contacts)):
        joins = "".join(letters)
        mirrored = _mirrored(joins, family)
        prior = _prior(joins, family.right, chances)
        if joins in taken or mirrored in taken or prior < chances["cut-below"]:
            continue
        taken.add(joins)
        is_double = bool(family.mirror) and mirrored != joins
        yield (
            Explanation(f"joined-{joins}", (Wiring(joins),), is_named=False),
            2.0 * prior if is_double else prior,
        )


def _mirrored(joins: str, family: Family) -> str:
    """Swap the two hots: both conductors, and where the outlet has two hot contacts these too."""
    swapped = joins.translate(str.maketrans("HX", "XH"))
    return swapped[1] + swapped[0] + swapped[2:] if family.mirror else swapped


def _prior(joins: str, right: str, chances: Mapping[str, float]) -> float:
    if joins in _swaps(right):
        return chances["swapped"]
    prior = 1.0
    for own, found in zip(right, joins, strict=True):
        if found != own:
            prior *= chances["open"] if found == "-" else chances["wrong-conductor"]
    return prior


def _swaps(right: str) -> set[str]:
    swapped: set[str] = set()
    for one, two in combinations(range(len(right)), 2):
        letters = list(right)
        letters[one], letters[two] = letters[two], letters[one]
        swapped.add("".join(letters))
    return swapped
