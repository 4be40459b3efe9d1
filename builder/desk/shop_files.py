"""The files that a shop writes itself, as the desk changes them: each is looked at as if the change
were made, with the same rules as `check`, and then written whole; what stood there is kept."""

from __future__ import annotations

import hashlib
import re
from codecs import BOM_UTF8
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from builder.desk import inside
from builder.files import whole_files, yaml_text
from builder.files.problems import Problem, Wrong, errors, in_order
from builder.formats.fields import slug
from builder.shop.contents import Shop

REGISTER = "register"
FOLDERS = ("standards", "meters", "plans")
Try = Callable[[Path | None, bytes], Shop]


@dataclass(frozen=True, slots=True)
class ShopFile:
    """A file by its name below procedures/, such as 'standards/fulmar', as it was opened."""

    name: str
    path: Path
    raw: bytes

    @property
    def kind(self) -> str:
        """That of its schema."""
        return self.name.partition("/")[0].removesuffix("s")

    @property
    def shown(self) -> str:
        """As problems name it."""
        return f"{self.path.parents[self.name.count('/')].name}/{self.name}.yaml"

    @property
    def text(self) -> str:
        """With its own line ends."""
        try:
            return self.raw.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise Wrong(f"{self.shown} is not UTF-8 text",
                        "save it as UTF-8 in your editor") from None

    @property
    def seen(self) -> str:
        """Stands for what is in it."""
        return hashlib.sha256(self.raw).hexdigest()

    def as_bytes(self, text: str) -> bytes:
        """A text as this file would hold it."""
        return (BOM_UTF8 if self.raw.startswith(BOM_UTF8) else b"") + text.encode()

    def with_its_line_ends(self, text: str) -> str:
        """What a browser sends of it: with the line ends that most of its lines have."""
        is_long = 2 * self.raw.count(b"\r\n") > self.raw.count(b"\n")
        return re.sub(r"\r\n|\r|\n", "\r\n" if is_long else "\n", text)


def names(root: Path) -> dict[str, list[str]]:
    """The files that there are, by their folders; those with a name that pages can have."""
    made = {folder: sorted(path.stem for path in (root / "procedures" / folder).glob("[!.]*.yaml")
                           if _is_slug(path.stem)) for folder in FOLDERS}
    register = (root / "procedures" / f"{REGISTER}.yaml").is_file()
    return {REGISTER: [REGISTER] * register, **made}


def _is_slug(text: str) -> bool:
    try:
        return bool(slug(text))
    except Wrong:
        return False


def opened(root: Path, name: str) -> ShopFile:
    """A file of the shop. Raises `Wrong` where there is none of that name, or where it is a link or
    lies behind one."""
    folder, _, stem = name.rpartition("/")
    if stem not in names(root).get(folder or REGISTER, ()):
        raise Wrong(f"there is no file '{name[:100]}' here", "was it taken away meanwhile?")
    path = inside.folder(root, f"procedures/{folder}".rstrip("/")) / f"{stem}.yaml"
    return ShopFile(name, path, inside.content(path, yaml_text.LARGEST_FILE))


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What a shop would be with a changed file: the file's own problems, which of its errors are
    new, and the errors that other files would get by it."""

    shop: Shop
    own: list[Problem]
    worse: list[Problem]
    elsewhere: list[Problem]


def looked_at(attempt: Try, file: ShopFile, raw: bytes) -> Looked:
    """The shop as if `raw` were in the file. `attempt` reads the shop so."""
    before = set(map(_what, errors(attempt(None, b"").problems)))
    shop = attempt(file.path, raw)
    own = in_order(one for one in shop.problems if one.place.file == file.shown)
    fresh = [one for one in in_order(errors(shop.problems)) if _what(one) not in before]
    return Looked(shop=shop, own=own, worse=[one for one in fresh if one in own],
                  elsewhere=[one for one in fresh if one not in own])


def _what(problem: Problem) -> tuple[str, str, str]:
    """A problem wherever its line has moved to."""
    return problem.place.file, problem.code, problem.sentence


def save(root: Path, file: ShopFile, raw: bytes) -> str:
    """Writes the file; gives what was done in a sentence. Raises `Wrong` where it is another one
    than was opened."""
    if opened(root, file.name).raw != file.raw:
        raise Wrong("the file has changed while it was looked at", "open it again")
    if raw == file.raw:
        return "Nothing was changed."
    kept = inside.keep(root, file.path)
    whole_files.replace(file.path, raw)
    return (f"{file.shown} was saved; what stood there is "
            f"{kept.relative_to(root).as_posix()}.")


def lines(problems: Iterable[Problem]) -> str:
    """As `check` prints them."""
    return "\n\n".join(map(str, problems))
