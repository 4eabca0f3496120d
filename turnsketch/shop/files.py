"""Shop files: read strictly, checked for sense, with an invented shop built in."""

from __future__ import annotations

import functools
from importlib.resources import files
from pathlib import Path

from turnsketch.errors import InputError
from turnsketch.shop.checks import checked_shop
from turnsketch.shop.records import Shop
from turnsketch.strict_json import FileKind, in_file, read_file, read_record

__all__ = ["SHOP_FILE", "demo_shop", "load_shop", "loads_shop"]

SHOP_FILE = FileKind("shop file", "turnsketch-shop", 1)


@functools.cache
def demo_shop() -> Shop:
    """Return the built-in shop: invented machines of a boatyard, so that a job needs no set-up."""
    data = files("turnsketch.resources").joinpath("demo_shop.json").read_bytes()
    return loads_shop(data, "demo_shop.json")


def load_shop(path: str | Path) -> Shop:
    """Return the shop of the file at `path`.

    Raises
    ------
    InputError
        When the file cannot be read or says something that no shop can have; its place begins
        with the name of the file.
    """
    return loads_shop(read_file(path, SHOP_FILE), str(path))


def loads_shop(data: bytes, name: str = "shop file") -> Shop:
    """Return the shop that `data`, the content of the file called `name`, describes."""
    try:
        return checked_shop(read_record(data, SHOP_FILE, Shop))
    except InputError as error:
        raise in_file(error, name) from None
