"""Copies of the database as it is at a moment, under names of their own."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import Any

from django.db import connection, connections


def copy_as(alias: str) -> None:
    """Copy the database and let the ORM know the copy by this name."""
    name = _copy_of_file(alias) if connection.vendor == "sqlite" else _copy_on_server(alias)
    connections.databases[alias] = {**connections.databases["default"], "NAME": name}


def _copy_of_file(alias: str) -> str:
    name = f"{connection.settings_dict['NAME']}.{alias}"
    connection.ensure_connection()
    with closing(sqlite3.connect(name)) as copy:
        connection.connection.backup(copy)
        copy.execute("PRAGMA journal_mode=WAL")
    return name


def _copy_on_server(alias: str) -> str:
    told: dict[str, Any] = connection.settings_dict
    name = f"{told['NAME']}_{alias}"
    # The server copies only what nobody is connected to.
    connections.close_all()
    with connection.Database.connect(
        host=told["HOST"], port=told["PORT"], user=told["USER"], password=told["PASSWORD"] or None,
        dbname="template1", autocommit=True,
    ) as server:  # fmt: skip
        server.execute(f'CREATE DATABASE "{name}" TEMPLATE "{told["NAME"]}"')
    return name
