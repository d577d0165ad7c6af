"""A PDF is a job: polled from any process of the server, and ended beyond its limits."""

import signal
import subprocess
import sys
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fieldlog.model.bounds import PdfLimits
from fieldlog.pdf.jobs import OtherPdfAsked, PdfFolderUnavailable, PdfJobs
from fieldlog.pdf.process import NO_MEMORY
from fieldlog.pdf.shelf import JobState, Shelf
from fieldlog.pdf.watcher import BROKE_OFF, GIVEN_UP, STOPPED
from tests.conftest import Clock
from tests.pdf.planted import ADDRESS, BEGIN, BEYOND_WHAT_IS_MAPPED, FAIL, TAKE_MEMORY, WRITE, Workers, until

# A process of a server that has a PDF drawn and goes on with other things.
WORKER = """
import sys
from pathlib import Path
from tests.conftest import Clock
from tests.pdf.planted import ADDRESS, DRAW_FOR_EVER, Workers
Workers(Path(sys.argv[1]), Clock(), DRAW_FOR_EVER).another().ask("Ann", "rig", "letter", ADDRESS)
sys.stdin.read()
"""


@pytest.fixture
def workers(tmp_path: Path, clock: Clock) -> Iterator[Workers]:
    made = Workers(tmp_path / "pdfs", clock)
    yield made
    made.close()


@pytest.fixture
def worker(workers: Workers) -> PdfJobs:
    return workers.another()


def state_of(jobs: PdfJobs, account: str) -> JobState | None:
    found = jobs.look(account, "rig")
    return None if found is None else found.job.state


def test_a_pdf_is_polled_and_fetched_from_another_process(worker: PdfJobs, workers: Workers) -> None:
    workers.code = BEGIN + WRITE
    other = workers.another()
    worker.ask("Ann", "rig", "letter", ADDRESS)

    until(lambda: state_of(other, "Ann") is JobState.READY)

    assert other.fetch("Ann", "rig") == b"rig"
    assert other.fetch("Ben", "rig") is None
    assert other.fetch("Ann", "another rig") is None


def test_what_its_process_told_last_is_said(worker: PdfJobs, workers: Workers) -> None:
    worker.ask("Ann", "rig", "letter", ADDRESS)

    until(lambda: (found := workers.another().look("Ann", "rig")) is not None and found.stage == "drawing 7")


def test_it_is_given_up_when_nobody_polls_any_more(worker: PdfJobs, workers: Workers, clock: Clock) -> None:
    worker.ask("Ann", "rig", "letter", ADDRESS)
    other = workers.another()
    for _ in range(3):
        clock.pass_by(timedelta(seconds=14))
        assert workers.is_running_still("Ann")
        other.look("Ann", "rig")

    clock.pass_by(timedelta(seconds=16))

    assert workers.ended("Ann").sentence == GIVEN_UP


def test_it_is_ended_beyond_its_time(worker: PdfJobs, workers: Workers) -> None:
    worker.ask("Ann", "rig", "letter", ADDRESS)
    until(lambda: bool(workers.begun))
    workers.elapsed_s = 119
    assert workers.is_running_still("Ann")

    workers.elapsed_s = 121

    assert "was not done after 120 s" in workers.ended("Ann").sentence
    assert workers.begun[0].wait(0) == -signal.SIGKILL


@pytest.mark.parametrize(("most_mb", "ends"), [(100, True), (400, False)])
def test_it_is_ended_beyond_its_memory(workers: Workers, most_mb: int, ends: bool) -> None:
    workers.code = BEGIN + TAKE_MEMORY
    worker = workers.another(PdfLimits(memory_mb=most_mb))
    worker.ask("Ann", "rig", "letter", ADDRESS)

    if ends:
        assert "more than the 100 MB of memory" in workers.ended("Ann").sentence
        assert workers.begun[0].wait(0) == -signal.SIGKILL
    else:
        until(lambda: (found := worker.look("Ann", "rig")) is not None and found.stage == "drawing 7")
        assert workers.is_running_still("Ann")


def test_what_no_look_can_catch_is_refused_by_the_system(workers: Workers) -> None:
    workers.code = BEYOND_WHAT_IS_MAPPED
    workers.another().ask("Ann", "rig", "letter", ADDRESS)

    assert "more than the 400 MB of memory" in workers.ended("Ann").sentence
    assert workers.begun[0].wait(0) == NO_MEMORY


def test_an_account_has_one_in_the_making(worker: PdfJobs, workers: Workers) -> None:
    worker.ask("Ann", "rig", "letter", ADDRESS)
    first = workers.job_of("Ann").id

    workers.another().ask("Ann", "rig", "letter", ADDRESS)
    for rig, paper in (("another rig", "letter"), ("rig", "A4")):
        with pytest.raises(OtherPdfAsked):
            workers.another().ask("Ann", rig, paper, ADDRESS)

    assert workers.job_of("Ann").id == first
    until(lambda: bool(workers.begun))
    assert len(workers.begun) == 1


def test_a_server_makes_two_and_the_others_wait_their_turn(worker: PdfJobs, workers: Workers) -> None:
    other = workers.another()
    for place, account in enumerate(("Ann", "Ben", "Cem", "Dot")):
        (worker, other)[place % 2].ask(account, "rig", "letter", ADDRESS)
    third, fourth = other.look("Cem", "rig"), worker.look("Dot", "rig")
    assert third is not None and (third.job.state, third.before) == (JobState.WAITING, 0)
    assert fourth is not None and (fourth.job.state, fourth.before) == (JobState.WAITING, 1)
    until(lambda: len(workers.begun) == 2)

    workers.kill_first()

    until(lambda: state_of(other, "Cem") is JobState.RUNNING)
    assert state_of(worker, "Dot") is JobState.WAITING


def test_who_waits_and_polls_no_more_is_passed_over(worker: PdfJobs, workers: Workers, clock: Clock) -> None:
    for account in ("Ann", "Ben", "Cem", "Dot"):
        worker.ask(account, "rig", "letter", ADDRESS)
    clock.pass_by(timedelta(seconds=10))
    for account in ("Ann", "Ben", "Dot"):
        worker.look(account, "rig")

    clock.pass_by(timedelta(seconds=10))

    fourth = worker.look("Dot", "rig")
    assert fourth is not None and fourth.before == 0
    assert worker.look("Cem", "rig") is None


def test_a_job_of_a_process_that_was_killed_is_not_held_for_running(workers: Workers) -> None:
    command = [sys.executable, "-c", WORKER, str(workers.folder)]
    with subprocess.Popen(command, stdin=subprocess.PIPE) as killed:
        other = workers.another()
        until(lambda: (found := other.look("Ann", "rig")) is not None and found.stage == "drawing 7")
        assert state_of(other, "Ann") is JobState.RUNNING

        killed.kill()

        # Its lock is held by what it had begun as well: it is free only once that has ended too.
        until(lambda: state_of(other, "Ann") is JobState.FAILED)
    assert workers.job_of("Ann").sentence == STOPPED


def test_a_process_that_stops_ends_what_it_has_begun(worker: PdfJobs, workers: Workers) -> None:
    worker.ask("Ann", "rig", "letter", ADDRESS)
    until(lambda: bool(workers.begun))

    worker.close()

    assert workers.begun[0].wait(0) == -signal.SIGKILL
    assert workers.job_of("Ann").sentence == STOPPED


def test_a_fault_in_drawing_says_nothing_of_itself(
    worker: PdfJobs, workers: Workers, capfd: pytest.CaptureFixture[str]
) -> None:
    workers.code = BEGIN + FAIL
    worker.ask("Ann", "rig", "letter", ADDRESS)

    assert workers.ended("Ann").sentence == BROKE_OFF
    assert "the wiring of everybody" in capfd.readouterr().err


def test_only_its_owner_reads_what_lies_there(worker: PdfJobs, workers: Workers) -> None:
    worker.ask("Ann", "rig", "letter", ADDRESS)
    until(lambda: (found := worker.look("Ann", "rig")) is not None and found.stage == "drawing 7")
    Shelf(workers.folder).write(f"{workers.job_of('Ann').id}.pdf", b"%PDF")

    modes = {path.name.partition(".")[2]: path.stat().st_mode & 0o777 for path in workers.folder.iterdir()}
    assert workers.folder.stat().st_mode & 0o777 == 0o700
    assert {modes["pdf"], modes["json"], modes["held"]} == {0o600}


@pytest.mark.parametrize(("is_fetched", "minutes"), [(True, 3), (False, 15)])
def test_a_pdf_lies_there_for_some_minutes(
    worker: PdfJobs, workers: Workers, clock: Clock, is_fetched: bool, minutes: int
) -> None:
    workers.code = BEGIN + WRITE
    worker.ask("Ann", "rig", "letter", ADDRESS)
    job = workers.ended("Ann")
    if is_fetched:
        worker.fetch("Ann", "rig")
    clock.pass_by(timedelta(minutes=minutes))
    worker.clear()
    assert (workers.folder / f"{job.id}.pdf").exists()

    clock.pass_by(timedelta(seconds=1))
    worker.clear()

    assert {path.name for path in workers.folder.iterdir()} == {"jobs.json", "lock", "CACHEDIR.TAG"}
    assert worker.fetch("Ann", "rig") is None


def test_the_next_job_takes_the_pdf_before_it_away(worker: PdfJobs, workers: Workers) -> None:
    workers.code = BEGIN + WRITE
    worker.ask("Ann", "rig", "letter", ADDRESS)
    first = workers.ended("Ann")

    worker.ask("Ann", "rig", "letter", ADDRESS)

    assert not (workers.folder / f"{first.id}.pdf").exists()
    assert workers.ended("Ann").id != first.id


def test_a_list_that_cannot_be_read_is_begun_anew(worker: PdfJobs, workers: Workers) -> None:
    workers.folder.mkdir()
    (workers.folder / "jobs.json").write_text('[{"id": ')
    (workers.folder / "left.pdf").write_text("left over")

    worker.clear()

    assert worker.look("Ann", "rig") is None
    assert not (workers.folder / "left.pdf").exists()


def test_a_folder_that_cannot_be_used_is_told(worker: PdfJobs, workers: Workers) -> None:
    workers.folder.write_text("a file is in the way")

    with pytest.raises(PdfFolderUnavailable, match="File exists"):
        worker.ask("Ann", "rig", "letter", ADDRESS)
