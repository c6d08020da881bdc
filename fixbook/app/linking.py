"""What the links of plugins' schemes point at, asked so that a failing plugin stops nothing."""

from __future__ import annotations

from functools import partial

from fixbook.core.bench import Bench
from fixbook.core.links import Link, LinkTarget
from fixbook.core.plugins import LinkScheme
from fixbook.errors import FixbookError, PluginError
from fixbook.hooks.loader import line_of
from fixbook.hooks.registry import Registry

HOOK = "fixbook_link_schemes"


def resolve(
    registry: Registry, plugin: str, scheme: LinkScheme, bench: Bench, link: Link
) -> LinkTarget:
    """Give what a link points at; FixbookError where it points at nothing, or the plugin fails."""
    place = line_of(scheme.resolve)
    work = partial(_answer, scheme, bench, link)
    for found in registry.attempt(plugin, HOOK, work, place=place):
        if isinstance(found, FixbookError):
            raise found
        return found
    raise PluginError(plugin, f"it could not open {link.scheme}: links", hook=HOOK, where=place)


def _answer(scheme: LinkScheme, bench: Bench, link: Link) -> LinkTarget | FixbookError:
    try:
        found = scheme.resolve(bench, link)
    except FixbookError as error:
        return error  # the link points at nothing: that is an answer, and no failure
    if not isinstance(found, LinkTarget):
        raise TypeError(f"it gave {type(found).__name__} for a link, not a LinkTarget")
    return found
