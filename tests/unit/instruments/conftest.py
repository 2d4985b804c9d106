import socket

import pytest


@pytest.fixture
def free_port():
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]
