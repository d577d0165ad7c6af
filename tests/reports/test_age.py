"""What the age of a ground-fault device leaves open."""

from typing import Any

import pytest

from fieldlog.reports.age import self_test_sentence
from tests.builders import a_device, an_id


def body(kind: str = "gfci-receptacle", made: str | None = None) -> dict[str, Any]:
    """Give the body of a device."""
    found: dict[str, Any] = a_device(an_id(), made=made)["body"]
    return found | {"type": kind}


def test_a_receptacle_of_unknown_age_has_its_own_face_read() -> None:
    """UL 943 of 2015 for the self-test; CPSC staff paper of 2001-04-20 for the face that stays live."""
    sentence = self_test_sentence(body())

    assert sentence == (
        "When it was made is not noted: before 2015-06-29 a GFCI outlet may lack the self-test (UL 943, "
        "revision of 2015, for permanently connected Class A devices). Read its own face with a lamp or "
        "a meter while it is tripped: one wired backwards trips and leaves its face live."
    )


def test_a_receptacle_from_before_says_when_it_was_made() -> None:
    assert self_test_sentence(body(made="2012-03")).startswith(
        "Made 2012-03: before 2015-06-29 a GFCI outlet"
    )


@pytest.mark.parametrize(
    ("kind", "made"), [("gfci-receptacle", "2015-07"), ("gfci-breaker", "2019-01"), ("cord-gfci", "2021-06")]
)
def test_a_newer_device_leaves_nothing_open(kind: str, made: str) -> None:
    """UL 943: permanently connected devices from 2015-06-29, portable ones from 2021-05-05."""
    assert self_test_sentence(body(kind, made)) == ""


def test_a_cord_set_goes_by_its_own_date() -> None:
    """UL 943: portable devices from 2021-05-05."""
    sentence = self_test_sentence(body("cord-gfci", "2019-01"))

    assert "before 2021-05-05 a GFCI in the cord may lack the self-test" in sentence
    assert "Read its own outlet" in sentence


def test_a_breaker_has_no_face_to_read() -> None:
    assert "face" not in self_test_sentence(body("gfci-breaker"))
