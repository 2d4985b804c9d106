"""A PostgreSQL of the tests' own: started once, with an empty database for each test, and stopped at the end."""

import os
import shutil
import socket
import subprocess
import tempfile
from pathlib import Path

import pytest


def _programs():
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return found[-1].parent if found else Path(shutil.which("initdb") or "/nowhere/initdb").parent


@pytest.fixture(scope="session")
def postgres_server():
    """The address of a server that listens on this machine only. It refuses to run as root, so root lends it a name."""
    folder, programs = Path(tempfile.mkdtemp(prefix="brightroot-postgres-")), _programs()
    if not (programs / "initdb").exists():
        pytest.fail("PostgreSQL is not installed: ./test installs it")
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        port = door.getsockname()[1]
    as_user = []
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres", "postgres")
        as_user = ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups"]

    def run(*words):
        subprocess.run([*as_user, *map(str, words)], check=True, capture_output=True, cwd=folder)

    data = folder / "data"
    run(programs / "initdb", "-D", data, "-U", "shop", "--auth=trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
    told = f"-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={folder}"
    run(programs / "pg_ctl", "-D", data, "-w", "-o", told, "-l", folder / "log", "start")
    yield f"postgresql://shop@127.0.0.1:{port}"
    run(programs / "pg_ctl", "-D", data, "-m", "immediate", "stop")
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def postgres(postgres_server, request):
    """An empty database."""
    import psycopg

    name = "t" + os.urandom(6).hex()
    with psycopg.connect(f"{postgres_server}/postgres", autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
    return f"{postgres_server}/{name}"
