"""Builds the parts, joins them, sets the headers. A table of contents."""

from collections.abc import Callable
from datetime import datetime
from importlib.metadata import PackageNotFoundError, version

from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from fieldlog import clock, rulebook
from fieldlog.config import ROOT, Config
from fieldlog.errors import RulebookDamaged
from fieldlog.model.rulebook import Rulebook
from fieldlog.pdf.jobs import PdfJobs
from fieldlog.store import migrations
from fieldlog.store.blobs import open_blobs
from fieldlog.store.removal import clear_left_photos
from fieldlog.store.session import Store, open_store
from fieldlog.store.watch import Watch
from fieldlog.web import errors, security
from fieldlog.web.layout.drawing import add_drawing
from fieldlog.web.layout.for_everybody import serve_static
from fieldlog.web.layout.judgement import add_words
from fieldlog.web.layout.modules import add_loads
from fieldlog.web.layout.parts import Parts, Settings
from fieldlog.web.layout.reach import add_reach
from fieldlog.web.trust import views as trust
from fieldlog.web.use_cases import blueprints


def create_app(
    config: Config | None = None,
    *,
    now: Callable[[], datetime] = clock.now,
    new_id: Callable[[], str] = clock.new_id,
) -> Flask:
    """Make the app, with its database brought up to this version."""
    config = config or Config.from_environment()
    app = Flask("fieldlog", static_folder=ROOT / "static", template_folder="web/layout/templates")
    security.protect(app, config.secret(), config.trusted_hosts)
    errors.handle_errors(app)
    store, blobs = open_current_store(config), open_blobs(config.photos_address)
    clear_left_photos(store, blobs)
    app.extensions["fieldlog"] = Parts(
        store,
        _rulebook(),
        now,
        new_id,
        Settings(
            _version(),
            config.home,
            config.port,
            config.trust_port,
            config.is_offline_on,
            signing=config.signing,
            bounds=config.bounds,
        ),
        blobs,
        Watch(store, config.bounds.least_free_mb),
        _pdf_jobs(config, store, now, new_id),
    )
    app.extensions["fieldlog"].pdfs.clear()
    app.extensions["fieldlog"].watch.look_at_the_newest()
    for blueprint in blueprints():
        app.register_blueprint(blueprint)
    add_words(app)
    add_drawing(app)
    add_reach(app)
    add_loads(app)
    serve_static(app)
    if config.proxy_hops:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=config.proxy_hops, x_proto=config.proxy_hops)  # type: ignore[method-assign]  # Flask's documented way
    return app


def create_served_app() -> Flask:
    """Make the app that a server runs: beside its work it walks every log once."""
    app = create_app()
    app.extensions["fieldlog"].watch.walk_all_beside()
    return app


def create_door(config: Config | None = None) -> Flask:
    """Make the app that stands behind plain http at home and hands out the root, and nothing else."""
    return trust.guard_the_door(create_app(config))


def open_current_store(config: Config) -> Store:
    """Open the database and bring it to the tables of this version."""
    store = open_store(config.database_url)
    migrations.upgrade(store)
    return store


def _pdf_jobs(
    config: Config, store: Store, now: Callable[[], datetime], new_id: Callable[[], str]
) -> PdfJobs:
    signing = str(config.signing)
    return PdfJobs(
        config.pdfs,
        store.address,
        now=now,
        new_id=new_id,
        limits=config.pdf_limits,
        signing=signing,
        photos=config.photos_address,
    )


def _rulebook() -> Rulebook | RulebookDamaged:
    """Load the rulebook; without a good one the app still keeps records, and judges nothing."""
    try:
        return rulebook.load()
    except RulebookDamaged as damage:
        return damage


def _version() -> str:
    try:
        return version("fieldlog")
    except PackageNotFoundError:
        return "unpackaged"
