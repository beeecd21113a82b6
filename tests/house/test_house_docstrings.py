"""Who reads a function of the maths learns from it what goes in: each argument with its shape and unit."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PURE = [ROOT / "wearlog" / name for name in ("wear", "plan", "faults", "costs", "harvest")]
FILES = sorted(file for folder in PURE for file in folder.rglob("*.py"))


def arguments(function: ast.FunctionDef) -> list[str]:
    named = function.args
    stars = [one for one in (named.vararg, named.kwarg) if one is not None]
    return [one.arg for one in (*named.posonlyargs, *named.args, *named.kwonlyargs, *stars)]


def parameters(docstring: str) -> dict[str, str]:
    """The entries of the section Parameters: name -> what is said of it, its type and the lines under it."""
    section = re.search(r"^Parameters\n-+\n(.*?)(?=^\S[^\n]*\n-+$|\Z)", docstring, re.DOTALL | re.MULTILINE)
    found: dict[str, str] = {}
    names: list[str] = []
    for line in (section[1] if section else "").splitlines():
        if line[:1].strip():
            said, _, kind = line.partition(" : ")
            names = [name.strip().lstrip("*") for name in said.split(",")]
            found |= dict.fromkeys(names, kind)
        else:
            found |= {name: f"{found[name]} {line.strip()}".strip() for name in names}
    return found


def public_functions(file: Path) -> list[ast.FunctionDef]:
    body = ast.parse(file.read_text("utf-8")).body
    return [node for node in body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")]


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.name}")
def test_every_public_function_of_the_maths_says_what_goes_in(file: Path) -> None:
    for function in public_functions(file):
        said = parameters(ast.get_docstring(function) or "")
        assert list(said) == arguments(function), f"{function.name}: the section Parameters has {list(said)}"
        assert [name for name, words in said.items() if not words] == [], function.name


def public_methods(file: Path) -> list[tuple[str, ast.FunctionDef]]:
    classes = [node for node in ast.parse(file.read_text("utf-8")).body if isinstance(node, ast.ClassDef)]
    return [
        (f"{one.name}.{node.name}", node)
        for one in classes
        for node in one.body
        if isinstance(node, ast.FunctionDef) and not (one.name.startswith("_") or node.name.startswith("_"))
    ]


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.name}")
def test_every_public_method_of_the_maths_says_what_goes_in(file: Path) -> None:
    for name, method in public_methods(file):
        wanted = [one for one in arguments(method) if one not in ("self", "cls")]
        said = parameters(ast.get_docstring(method) or "")
        assert list(said) == wanted, f"{name}: the section Parameters has {list(said)}"


def test_the_section_is_read_as_numpydoc_writes_it() -> None:
    docstring = """Do it.

    Parameters
    ----------
    one, two : array, shape (n,)
    *rest : float
        Hours.

    Returns
    -------
    float
        Hours.
    """
    read = parameters(ast.get_docstring(ast.parse(f'def f():\n    """{docstring}"""').body[0]) or "")  # type: ignore[arg-type]
    assert read == {"one": "array, shape (n,)", "two": "array, shape (n,)", "rest": "float Hours."}
    assert parameters("Do it.") == {}
