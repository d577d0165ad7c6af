"""UUIDv7 against RFC 9562, Appendix A.6."""

from fieldlog.model.identity import uuid7


def test_the_example_of_the_rfc() -> None:
    made = uuid7(0x017F22E279B0, 0xCC3, 0x18C4DC0C0C07398F)

    assert str(made).upper() == "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"


def test_later_ids_sort_later() -> None:
    assert str(uuid7(1_645_557_742_000, 0xFFF, 2**62 - 1)) < str(uuid7(1_645_557_742_001, 0, 0))
