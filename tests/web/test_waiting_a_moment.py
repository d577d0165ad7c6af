"""A request waits for a PDF only while few others do."""

from dataclasses import replace

from fieldlog.pdf.jobs import JobStanding
from fieldlog.pdf.shelf import Job, JobState
from fieldlog.web.record.progress import wait_a_moment
from tests.builders import NOON

JOB = Job(id="j", account="a", rig="r", paper="A4", address="", asked_at=NOON, polled_at=NOON)
RUNNING = JobStanding(replace(JOB, state=JobState.RUNNING), "", 0)
READY = JobStanding(replace(JOB, state=JobState.READY), "", 0)


def test_a_request_waits_until_the_pdf_is_there() -> None:
    looks = iter((RUNNING, RUNNING, READY))

    assert wait_a_moment(lambda: next(looks), 60) is READY


def test_a_request_that_stands_in_a_queue_is_not_held() -> None:
    looks = iter((JobStanding(JOB, "", 1),))

    found = wait_a_moment(lambda: next(looks), 60)

    assert found is not None and found.before == 1


def test_a_third_request_beside_two_that_wait_is_not_held() -> None:
    first_looks, second_looks = [RUNNING, READY], [RUNNING, READY]

    def third() -> JobStanding | None:
        looks = iter((RUNNING,))
        return wait_a_moment(lambda: next(looks), 60)

    def second() -> JobStanding | None:
        if len(second_looks) == 1:
            assert third() is RUNNING
        return second_looks.pop(0)

    def first() -> JobStanding | None:
        if len(first_looks) == 1:
            assert wait_a_moment(second, 60) is READY
        return first_looks.pop(0)

    assert wait_a_moment(first, 60) is READY
