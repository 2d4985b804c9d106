"""Where answers come from: a serial line, registers, a message broker, a growing file. Each hands over whole answers.

The libraries for serial lines, registers and brokers are extras, fetched by `pip install brightroot[instruments]`; without
them a source is refused by name. Every source ends when `stop` says so, and gives (time, answer) as they come.
"""

from __future__ import annotations

import queue
import time
from collections.abc import Callable, Iterator, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from brightroot.base.errors import Refused
from brightroot.instruments.driver import Driver, RegisterAnswer, TextAnswer

Answer = tuple[float, str | Sequence[int]]
Stop = Callable[[], bool]
LINE_MOST = 512  # a longer line is none of an instrument's
BEAT_S = 0.2


def _extra(name: str) -> Any:
    try:
        return import_module(name)
    except ImportError:
        raise Refused(field="source", wanted="pip install brightroot[instruments]", got=f"no {name}") from None


def serial_lines(driver: Driver, port: str, *, baud: int = 9600, every_s: float = 1.0, stop: Stop) -> Iterator[Answer]:
    """Lines of a serial port. Where the driver has something to ask it is asked each `every_s`."""
    serial = _extra("serial")
    try:
        line = serial.serial_for_url(port, baudrate=baud, timeout=BEAT_S)
    except (OSError, ValueError) as fault:
        raise Refused(field="port", wanted="a serial port", got=f"{port}: {fault}") from None
    ask = driver.answer.ask if isinstance(driver.answer, TextAnswer) else ""
    with line:
        asked_s, part = 0.0, b""
        while not stop():
            if ask and time.monotonic() - asked_s >= every_s:
                line.write(f"{ask}\r\n".encode())
                asked_s = time.monotonic()
            part += line.read(64)
            *whole, part = part.replace(b"\r", b"\n").split(b"\n")
            part = part[-LINE_MOST:]
            yield from ((time.time(), one.decode("utf-8", "replace")) for one in whole if one.strip())


def registers(driver: Driver, address: str, *, unit: int = 1, every_s: float = 1.0, stop: Stop) -> Iterator[Answer]:
    """Registers read again and again: `host:port` over TCP, or a serial port (RTU)."""
    client_module = _extra("pymodbus.client")
    if not isinstance(driver.answer, RegisterAnswer):
        raise Refused(field="driver", wanted="a driver of registers", got=driver.id)
    host, _, tcp_port = address.rpartition(":")
    tcp = host and tcp_port.isdigit()
    client = (
        client_module.ModbusTcpClient(host, port=int(tcp_port), timeout=2)
        if tcp
        else client_module.ModbusSerialClient(address, timeout=2)
    )
    count = 1 if driver.answer.encoding.endswith("16") else 2
    ask = client.read_input_registers if driver.answer.input_registers else client.read_holding_registers
    if not client.connect():
        raise Refused(field="address", wanted="an instrument that answers there", got=address)
    try:
        while not stop():
            told = ask(driver.answer.at, count=count, device_id=unit)
            if not told.isError():
                yield time.time(), told.registers
            _rest(every_s, stop)
    finally:
        client.close()


def messages(driver: Driver, address: str, topic: str, *, stop: Stop) -> Iterator[Answer]:
    """What a broker hands on under one topic."""
    mqtt = _extra("paho.mqtt.client")
    came: queue.SimpleQueue[Answer] = queue.SimpleQueue()
    client = mqtt.Client(mqtt.CallbackAPIVersion.VERSION2)
    client.on_connect = lambda made, *_: made.subscribe(topic)
    client.on_message = lambda _c, _u, message: came.put((time.time(), message.payload.decode("utf-8", "replace")))
    host, _, port = address.rpartition(":")
    try:
        client.connect(host or address, int(port) if host and port.isdigit() else 1883)
    except (OSError, ValueError) as fault:
        raise Refused(field="address", wanted="a broker that answers there", got=f"{address}: {fault}") from None
    client.loop_start()
    try:
        while not stop():
            try:
                yield came.get(timeout=BEAT_S)
            except queue.Empty:
                continue
    finally:
        client.loop_stop()
        client.disconnect()


def tail(path: Path, *, column: int = -1, from_start: bool = False, stop: Stop) -> Iterator[Answer]:
    """Rows that are added to a file, one column of each. A row without its end of line waits until it has one."""
    if not path.is_file():
        raise Refused(field="file", wanted="a file that an instrument writes to", got=str(path))
    with path.open("rb") as rows:
        if not from_start:
            rows.seek(0, 2)
        part = b""
        while True:
            came = rows.read()
            *whole, part = (part + came).split(b"\n")
            for row in whole:
                cells = row.decode("utf-8", "replace").strip().split(";" if b";" in row else ",")
                if any(cells):
                    yield time.time(), cells[column if -len(cells) <= column < len(cells) else -1].strip()
            if stop():
                return
            if not came:
                _rest(BEAT_S, stop)


def _rest(seconds: float, stop: Stop) -> None:
    until_s = time.monotonic() + seconds
    while not stop() and time.monotonic() < until_s:
        time.sleep(min(BEAT_S, max(0.0, until_s - time.monotonic())))
