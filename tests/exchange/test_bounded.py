"""Reading up to a limit: what is larger is not read, what does not say its size is read no further."""

from __future__ import annotations

import os
import tracemalloc
from pathlib import Path
from threading import Thread

import pytest

from fieldapp.exchange.bounded import CHUNK, read_at_most


@pytest.mark.parametrize("size", [0, 1, 99, 100])
def test_a_file_up_to_the_limit_is_read_whole(tmp_path: Path, size: int) -> None:
    path = tmp_path / "file"
    path.write_bytes(os.urandom(size))
    assert read_at_most(path, 100) == path.read_bytes()


@pytest.mark.parametrize("size", [101, 3 * CHUNK])
def test_a_larger_file_is_not_read(tmp_path: Path, size: int) -> None:
    path = tmp_path / "file"
    path.write_bytes(bytes(size))
    assert read_at_most(path, 100) is None


def test_a_small_file_takes_little_memory_whatever_is_allowed(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(bytes(10_000))
    tracemalloc.start()
    read_at_most(path, 256 * 2**20)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 20 * CHUNK


@pytest.mark.parametrize(("size", "whole"), [(2 * CHUNK + 7, True), (5 * CHUNK, False)])
def test_a_pipe_which_does_not_say_its_size_is_read_up_to_the_limit(
    tmp_path: Path, size: int, whole: bool
) -> None:
    pipe, content = tmp_path / "pipe", os.urandom(size)
    os.mkfifo(pipe)

    def fill() -> None:
        try:
            pipe.write_bytes(content)
        except BrokenPipeError:
            return  # nobody wants the rest

    filling = Thread(target=fill)
    filling.start()
    found = read_at_most(pipe, 4 * CHUNK)
    filling.join()
    assert found == (content if whole else None)
