"""What mkdocs.yml says of a site, for those who aren't MkDocs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.files import yaml_text
from builder.files.problems import Wrong
from builder.pages import left_out
from builder.shop.public import ALL, SHEETS

NO = ("no", "false", "off")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """`address` is where the site will be found, with http; `lessons` whether it has the builder's
    own; `publish` what of the shop it shows; `served_at` the host and port that 'serve' takes, ""
    where it may choose."""

    name: str = ""
    address: str = ""
    lessons: bool = True
    publish: str = ALL
    served_at: str = ""

    @property
    def out(self) -> tuple[str, ...]:
        """The pages that are left out, as `left_out` takes them."""
        return ((() if self.lessons else left_out.LESSONS)
                + (left_out.OF_METERS if self.publish == SHEETS else ()))


def read(config: Path) -> Settings:
    """The settings in a file that other engines read too, of which the rest isn't ours to judge.
    Raises `Wrong` where it can't be read, or says something else of what is ours."""
    stated = _merged(config, 0)
    plugins = stated.get("plugins") or []
    entries = plugins.items() if isinstance(plugins, dict) else (
        next(iter(one.items())) if isinstance(one, dict) and one else (one, None)
        for one in plugins)
    own = next((options for name, options in entries if name == "procedures"), None) or {}
    publish = own.get("publish", ALL)
    if publish not in (ALL, SHEETS):
        raise Wrong(f"{config.name}: 'publish: {publish}' is not known",
                    f"'{ALL}', or '{SHEETS}' without reports and meters by their serial numbers")
    name, address, served_at = (str(stated.get(key) or "")
                                for key in ("site_name", "site_url", "dev_addr"))
    return Settings(name=name, publish=publish, served_at=served_at,
                    address=address if address.startswith(("http://", "https://")) else "",
                    lessons=str(own.get("lessons", "yes")).lower() not in NO)


def _merged(config: Path, depth: int) -> dict[str, Any]:
    """A file's settings over those that it inherits."""
    try:
        stated = yaml_text.loosely(config.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError) as error:
        raise Wrong(f"{config} can't be read: {error}") from None
    if not isinstance(stated, dict):
        raise Wrong(f"{config} holds no settings")
    inherits = stated.get("INHERIT")
    if not inherits or depth > 9:
        return stated
    return {**_merged(config.parent / inherits, depth + 1), **stated}
