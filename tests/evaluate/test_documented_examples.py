"""Behaviour: the examples in the documentation of functions are right."""

import doctest
import importlib
import pkgutil

import pytest

import lidoff.compare
import lidoff.evaluate

MODULES = [
    found.name
    for room in (lidoff.evaluate, lidoff.compare)
    for found in pkgutil.walk_packages(room.__path__, f"{room.__name__}.")
]


@pytest.mark.parametrize("name", MODULES)
def test_examples_are_right(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples() -> None:
    attempted = sum(doctest.testmod(importlib.import_module(name)).attempted for name in MODULES)
    assert attempted >= 7
