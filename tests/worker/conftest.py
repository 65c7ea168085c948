"""Shops on both kinds of ground: files alone, and PostgreSQL with Redis."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from django.core.management import call_command

from tests.jobs.smtp_server import SmtpServer
from tests.servers import Postgres, Redis
from tests.worker.running import RunningShop


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    server = Postgres()
    try:
        yield server.start()
    finally:
        server.stop()


@pytest.fixture(scope="session")
def redis_server() -> Iterator[Redis]:
    server = Redis()
    try:
        yield server.start()
    finally:
        server.stop()


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory, django_db_blocker) -> Path:
    """A SQLite file with all tables, to be copied."""
    shop = RunningShop(tmp_path_factory.mktemp("tables"), "", "")
    with django_db_blocker.unblock(), shop.visited():
        call_command("migrate", verbosity=0)
        call_command("createcachetable", verbosity=0)
    return shop.folder / "fluewright.sqlite3"


@pytest.fixture(scope="session")
def migrated_database(postgres, tmp_path_factory, django_db_blocker) -> str:
    """The name of a PostgreSQL database with all tables, to be copied."""
    with psycopg.connect(postgres.url, autocommit=True) as admin:
        admin.execute("CREATE DATABASE tables")
    shop = RunningShop(tmp_path_factory.mktemp("tables"), postgres.database("tables"), "")
    with django_db_blocker.unblock(), shop.visited():
        call_command("migrate", verbosity=0)
    return "tables"


@pytest.fixture
def files_shop(migrated_file, tmp_path) -> RunningShop:
    shop = RunningShop(tmp_path, "", "")
    shutil.copy(migrated_file, tmp_path)
    return shop


@pytest.fixture
def servers_shop(request, tmp_path) -> RunningShop:
    return servers_shop_make(request, tmp_path)


def servers_shop_make(request, folder: Path) -> RunningShop:
    """Return a shop with a copy of the PostgreSQL database and an empty Redis."""
    tables = request.getfixturevalue("migrated_database")
    postgres, redis = request.getfixturevalue("postgres"), request.getfixturevalue("redis_server")
    name = f"shop_{folder.name}".lower().replace("-", "_")[:60]
    with psycopg.connect(postgres.url, autocommit=True) as admin:
        admin.execute(f'CREATE DATABASE "{name}" TEMPLATE "{tables}"')
    redis.empty()
    return RunningShop(folder, postgres.database(name), redis.url)


FILES, SERVERS = "files", "servers"
#: A run that must be on the servers has nothing to say about files.
GROUNDS = [SERVERS] if os.environ.get("FLUEWRIGHT_SERVERS") == "required" else [FILES, SERVERS]


@pytest.fixture(params=GROUNDS)
def shop(request, django_db_blocker) -> Iterator[RunningShop]:
    """A shop this test reads and writes; whatever runs in it is ended after the test."""
    shop = request.getfixturevalue(f"{request.param}_shop")
    try:
        with django_db_blocker.unblock(), shop.visited():
            yield shop
    finally:
        shop.stop()


@pytest.fixture
def smtp_server(shop) -> Iterator[SmtpServer]:
    """A mail server that the shop's workers use."""
    server = SmtpServer().start()
    shop.environment["MAIL_URL"] = f"smtp://127.0.0.1:{server.port}"
    shop.environment["MAIL_FROM"] = "office@shop.example"
    yield server
    shop.stop()
    server.stop()
