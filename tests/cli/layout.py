"""The layout of JSON, as DEVELOPERS.md lists it, and what of a value is not as it says."""
import re
from fractions import Fraction as Q

RATIONAL, TEXT, WHOLE, FLAG = "rational", "text", "whole", "flag"


class May:
    """The value may be null."""

    def __init__(self, kind):
        self.kind = kind


class Key:
    """The key may be missing."""

    def __init__(self, kind):
        self.kind = kind


def keys(kind):
    """every key of a layout"""
    while isinstance(kind, (May, Key)):
        kind = kind.kind
    inside = kind.values() if isinstance(kind, dict) else kind if isinstance(kind, list) else []
    return set(kind if isinstance(kind, dict) else []).union(*map(keys, inside))


def problems(value, kind, where="$"):
    """What of the value is not as the layout says."""
    if isinstance(kind, May):
        return [] if value is None else problems(value, kind.kind, where)
    if isinstance(kind, Key):
        return problems(value, kind.kind, where)
    if isinstance(kind, dict):
        if not isinstance(value, dict):
            return [f"{where}: no object"]
        missing = [k for k, v in kind.items() if k not in value and not isinstance(v, Key)]
        found = [f"{where}.{k}: is missing" for k in missing] + [f"{where}.{k}: is not in the layout" for k in value if k not in kind]
        return found + [p for k in value if k in kind for p in problems(value[k], kind[k], f"{where}.{k}")]
    if isinstance(kind, list):
        return [p for i, v in enumerate(value) for p in problems(v, kind[0], f"{where}[{i}]")] if isinstance(value, list) else [f"{where}: no list"]
    if isinstance(kind, set):
        return [] if value in kind else [f"{where}: {value!r} is none of {kind}"]
    good = {RATIONAL: lambda: isinstance(value, str) and re.fullmatch(r"-?\d+(/[1-9]\d*)?", value) and str(Q(value)) == value,
            TEXT: lambda: isinstance(value, str), WHOLE: lambda: type(value) is int, FLAG: lambda: type(value) is bool}[kind]()
    return [] if good else [f"{where}: {value!r} is no {kind}"]
