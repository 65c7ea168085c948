"""The folder that carries bells: nothing is lost, doubled or half read, whoever writes and reads at once."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter

from django.conf import settings
from kombu import Connection

from config import broker

TALK = """
import sys
from kombu import Connection
from config import broker
broker.register()
role, folder, number = sys.argv[1], sys.argv[2], int(sys.argv[3])
with Connection("folder://localhost", transport_options={"folder": folder}) as connection:
    queue = connection.SimpleQueue("celery")
    if role == "write":
        for n in range(300):
            queue.put({"n": number * 1000 + n})
    else:
        while True:
            try:
                message = queue.get(timeout=2)
            except queue.Empty:
                break
            print(message.payload["n"])
            message.ack()
"""


def test_every_message_of_many_writers_reaches_exactly_one_of_many_readers(tmp_path):
    talkers = [
        subprocess.Popen(
            [sys.executable, "-c", TALK, role, str(tmp_path), str(number)],
            cwd=settings.BASE_DIR,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for number in range(3)
        for role in ("read", "write")
    ]
    heard: Counter[int] = Counter()
    for talker in talkers:
        out, err = talker.communicate(timeout=60)
        assert talker.returncode == 0, err
        heard.update(int(line) for line in out.split())
    assert heard == {number * 1000 + n: 1 for number in range(3) for n in range(300)}
    assert list(tmp_path.iterdir()) == []


def test_a_message_that_is_not_whole_yet_is_not_taken(tmp_path):
    broker.register()
    with Connection("folder://localhost", transport_options={"folder": str(tmp_path)}) as connection:
        queue = connection.SimpleQueue("celery")
        (tmp_path / "00000000000000000000_early.celery.msg.unfinished").write_text('{"bo')
        assert queue.qsize() == 0
        queue.put({"n": 1})
        assert queue.qsize() == 1
        assert json.loads(next(tmp_path.glob("*.msg")).read_text())["headers"] == {}
        assert queue.get(block=False).payload == {"n": 1}


def test_a_queue_can_be_emptied(tmp_path):
    broker.register()
    with Connection("folder://localhost", transport_options={"folder": str(tmp_path)}) as connection:
        queue = connection.SimpleQueue("celery")
        for n in range(3):
            queue.put(n)
        assert queue.clear() == 3
        assert list(tmp_path.iterdir()) == []
