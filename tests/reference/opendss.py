"""A small two-leg supply in OpenDSS, a distribution-system simulator (PyPI: OpenDSSDirect.py)."""

from collections.abc import Mapping, Sequence

import opendssdirect  # type: ignore[import-untyped]  # it ships no types

LEG_X, LEG_Y, NEUTRAL = "outlet.1", "outlet.2", "outlet.3"
STIFF = "R1=1e-6 X1=1e-6 R0=1e-6 X0=1e-6"


def solved(
    volts: float,
    degrees: float,
    hot_ohms: float,
    neutral_ohms: float | None,
    resistors: Sequence[tuple[str, str, float]] = (),
    watts: Mapping[str, float] | None = None,
) -> dict[str, complex]:
    """Solve two legs of a supply, its neutral point bonded to ground, and give the volts at the outlet.

    `resistors` hang between nodes of the outlet; `watts` are loads of constant impedance, for 120 V, from a
    leg to the neutral; `neutral_ohms` None leaves the neutral open.
    """
    _command("Clear")
    source = f"phases=1 BasekV={volts / 1000} pu=1.0 {STIFF}"
    _command(f"New Circuit.supply bus1=source.1.0 angle=0 {source}")
    _command(f"New Vsource.other bus1=source.2.0 angle={degrees} {source}")
    for number, ends in enumerate((("source.1", LEG_X), ("source.2", LEG_Y))):
        _resistor(f"hot{number}", *ends, hot_ohms)
    if neutral_ohms is not None:
        _resistor("neutral", NEUTRAL, "source.0", neutral_ohms)
    for number, (start, end, ohms) in enumerate(resistors):
        _resistor(f"load{number}", start, end, ohms)
    for leg, power in (watts or {}).items():
        _command(f"New Load.on{leg[-1]} phases=1 bus1={leg}.3 kV=0.12 kW={power / 1000} PF=1 model=2")
    _command("Set tolerance=1e-9")
    _command("Solve")
    opendssdirect.Circuit.SetActiveBus("outlet")
    return _node_volts()


def _resistor(name: str, start: str, end: str, ohms: float) -> None:
    _command(f"New Reactor.{name} phases=1 bus1={start} bus2={end} R={ohms!r} X=0")


def _command(text: str) -> None:
    opendssdirect.Text.Command(text)


def _node_volts() -> dict[str, complex]:
    nodes = opendssdirect.Bus.Nodes()
    parts = opendssdirect.Bus.Voltages()
    return {
        f"outlet.{node}": complex(parts[2 * place], parts[2 * place + 1]) for place, node in enumerate(nodes)
    }
