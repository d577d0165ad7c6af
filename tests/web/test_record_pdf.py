"""Having the service record made as a PDF, and waiting for it, without script."""

import io
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pypdf
import pytest
from flask import Flask
from werkzeug.test import TestResponse

from fieldlog.clock import new_id
from fieldlog.config import Config
from fieldlog.pdf.jobs import PdfJobs
from fieldlog.web.layout.parts import Parts
from tests.conftest import Clock, Person, token_of
from tests.pdf.planted import BEGIN, FAIL, WRITE, Workers, until
from tests.web.rigs import note_a_rig

REFRESH = '<meta http-equiv="refresh" content="3">'


@pytest.fixture
def workers(app: Flask, config: Config, clock: Clock) -> Iterator[Workers]:
    """The app's PDFs are made by a planted process, which waits; nobody waits for them in a request."""
    made = Workers(config.pdfs, clock)
    _put(app, made.another(), patience_s=0)
    yield made
    made.close()


@pytest.fixture
def drawing_app(app: Flask, config: Config, clock: Clock) -> Iterator[Flask]:
    """The app as it is served: what draws is a process."""
    parts: Parts = app.extensions["fieldlog"]
    jobs = PdfJobs(config.pdfs, parts.store.address, now=clock, new_id=new_id)
    _put(app, jobs, patience_s=0)
    yield app
    jobs.close()


def _put(app: Flask, jobs: PdfJobs, *, patience_s: float) -> None:
    parts: Parts = app.extensions["fieldlog"]
    settings = replace(parts.settings, pdf_patience_s=patience_s)
    app.extensions["fieldlog"] = replace(parts, pdfs=jobs, settings=settings)


def ask(person: Person, page: str, paper: str = "letter") -> TestResponse:
    """Press a button of the record's page."""
    shown = person.client.get(f"{page}/record").text
    assert f'<form class="service-record-ways" method="post" action="{page}/record.pdf/job">' in shown
    assert f'<button type="submit" name="paper" value="{paper}"' in shown
    fields = {"csrf_token": token_of(shown), "paper": paper}
    return person.client.post(f"{page}/record.pdf/job", data=fields)


@pytest.mark.usefixtures("drawing_app")
def test_a_process_draws_it_and_its_page_leads_to_it(owner: Person, config: Config) -> None:
    noted = note_a_rig(owner)

    answer = ask(owner, noted.page, "A4")

    assert (answer.status_code, answer.location) == (303, f"{noted.page}/record.pdf/job")
    page_of_it = str(answer.location)
    assert REFRESH in owner.client.get(page_of_it).text
    until(lambda: REFRESH not in owner.client.get(page_of_it).text)
    shown = owner.client.get(page_of_it).text
    assert f'href="{noted.page}/record.pdf/made"' in shown
    made = owner.client.get(f"{noted.page}/record.pdf/made")
    assert made.mimetype == "application/pdf"
    assert made.headers["Cache-Control"] == "no-store"
    page = pypdf.PdfReader(io.BytesIO(made.data)).pages[0]
    assert round(float(page.mediabox.height)) == 842
    assert "Entered by the owner. Not an inspection." in page.extract_text()
    assert not list(config.pdfs.glob("*.draft")), "what one program made ready for the other is taken away"


def test_the_page_that_waits_says_how_far_it_is(owner: Person, workers: Workers, clock: Clock) -> None:
    noted = note_a_rig(owner)
    page = f"{noted.page}/record.pdf/job"
    ask(owner, noted.page)
    clock.pass_by(timedelta(seconds=12))

    until(lambda: "Drawing page by page. Page 7 is being laid out." in owner.client.get(page).text)

    shown = owner.client.get(page)
    assert shown.status_code == 200
    assert "Begun 12 s ago; after 120 s it is given up." in shown.text
    assert REFRESH in shown.text
    assert workers.is_running_still(owner.account.id if owner.account else "")


def test_its_address_of_before_gives_it_at_once_where_it_is_there_soon(app: Flask, owner: Person) -> None:
    noted = note_a_rig(owner)

    assert owner.client.get(f"{noted.page}/record.pdf").data.startswith(b"%PDF")


@pytest.mark.usefixtures("workers")
def test_its_address_of_before_leads_to_the_page_that_waits(owner: Person) -> None:
    noted = note_a_rig(owner)

    for _ in range(2):  # the second joins the first
        answer = owner.client.get(f"{noted.page}/record.pdf")
        assert (answer.status_code, answer.location) == (303, f"{noted.page}/record.pdf/job")
    assert owner.client.get(f"{noted.page}/record.pdf/made").location == f"{noted.page}/record.pdf/job"


def test_a_second_one_is_told_of_the_first(owner: Person, workers: Workers) -> None:
    noted, other = note_a_rig(owner), note_a_rig(owner)
    ask(owner, noted.page)

    for answer in (
        ask(owner, other.page),
        ask(owner, noted.page, "A4"),
        owner.client.get(f"{other.page}/record.pdf"),
    ):
        assert answer.status_code == 409
        assert "one is made at a time" in answer.text
        assert f'href="{noted.page}/record.pdf/job"' in answer.text
        assert answer.headers["Retry-After"] == "15"
    assert "None is being made now" in owner.client.get(f"{other.page}/record.pdf/job").text


def test_others_of_the_server_are_waited_for(owner: Person, colleague: Person, workers: Workers) -> None:
    for account in ("Ann", "Ben"):
        workers.all[0].ask(account, "rig", "letter", "http://log.example")
    mine, theirs = note_a_rig(owner), note_a_rig(colleague)

    ask(owner, mine.page)
    ask(colleague, theirs.page)

    assert "yours is the next" in owner.client.get(f"{mine.page}/record.pdf/job").text
    assert "1 stands before yours" in colleague.client.get(f"{theirs.page}/record.pdf/job").text


def test_what_broke_off_is_said_with_what_to_do(owner: Person, workers: Workers) -> None:
    workers.code = BEGIN + FAIL
    noted = note_a_rig(owner)
    page = f"{noted.page}/record.pdf/job"
    ask(owner, noted.page)

    until(lambda: owner.client.get(page).status_code == 503)

    shown = owner.client.get(page).text
    assert "drawing it broke off" in shown
    assert "the wiring of everybody" not in shown
    assert REFRESH not in shown
    assert f'action="{page}"' in shown
    assert owner.client.get(f"{noted.page}/record.pdf/made").location == page


def test_nobody_else_gets_it(owner: Person, colleague: Person, stranger: Person, workers: Workers) -> None:
    workers.code = BEGIN + WRITE
    noted = note_a_rig(owner)
    page = f"{noted.page}/record.pdf"
    ask(owner, noted.page)
    until(lambda: owner.client.get(f"{page}/made").status_code == 200)

    token = token_of(colleague.client.get("/sign-out/plain").text)
    assert [colleague.client.get(f"{page}{leaf}").status_code for leaf in ("/job", "/made")] == [404, 404]
    assert colleague.client.post(f"{page}/job", data={"csrf_token": token}).status_code == 404
    assert [stranger.client.get(f"{page}{leaf}").status_code for leaf in ("/job", "/made")] == [303, 303]
    assert stranger.client.post(f"{page}/job").status_code == 401


@pytest.mark.usefixtures("workers")
def test_what_is_no_form_of_ours_begins_nothing(owner: Person) -> None:
    noted = note_a_rig(owner)
    page = f"{noted.page}/record.pdf/job"
    token = token_of(owner.client.get(f"{noted.page}/record").text)

    assert owner.client.post(page, data={"paper": "letter"}).status_code == 400
    assert owner.client.post(page, data={"csrf_token": token, "paper": "bark"}).status_code == 400
    assert owner.client.put(page).status_code == 405
    assert "None is being made now" in owner.client.get(page).text
