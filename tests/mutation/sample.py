"""Names of mutants to run: those of some modules that change more than a text, so many of each at random.

    .venv/bin/python tests/mutation/sample.py 60 coach.progress.closing coach.progress.opening

It reads `mutants/`, which `mutmut run` has written, and prints one name a line: for one number always
the same ones of a module, as long as the module stays as it is.
"""

from __future__ import annotations

import ast
import random
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

SEED = 20261127
MUTANTS = Path("mutants")


class WithoutTexts(ast.NodeTransformer):
    """Empties every text and forgets what an error says."""

    def visit_Constant(self, node: ast.Constant) -> ast.Constant:
        """A text becomes an empty one."""
        return ast.Constant("") if isinstance(node.value, str) else node

    def visit_Raise(self, node: ast.Raise) -> ast.Raise:
        """An error keeps its class alone."""
        exc = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
        return ast.Raise(exc, None)


def shape(function: ast.FunctionDef) -> str:
    """A function's body without its name and its texts."""
    return "".join(ast.dump(WithoutTexts().visit(line)) for line in function.body)


def mutants_of(module: str) -> Iterator[str]:
    """The names of a module's mutants that change more than a text, in the order of the file."""
    tree = ast.parse((MUTANTS / (module.replace(".", "/") + ".py")).read_text())
    functions = {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    shapes = {name: shape(node) for name, node in functions.items() if "__mutmut_" in name}
    for name, changed in shapes.items():
        before, _, number = name.rpartition("__mutmut_")
        if number != "orig" and changed != shapes[f"{before}__mutmut_orig"]:
            yield f"{module}.{name}"


def sampled(module: str, count: int) -> list[str]:
    """As many of a module's mutants, or all of them."""
    names = list(mutants_of(module))
    chosen = random.Random(f"{SEED} {module}").sample(names, min(count, len(names)))  # noqa: S311  no secret
    return sorted(chosen)


if __name__ == "__main__":
    for each in sys.argv[2:]:
        print("\n".join(sampled(each, int(sys.argv[1]))))  # noqa: T201  a command prints
