"""Which negative this is: a digest of what it is made from, so that two machines agree on "the same negative".

Densities themselves differ from machine to machine in their last bits, and among millions of pixels some always lie next
to a rounding step. What goes in does not: the scene's stored codes, the sleeve's exposure and development, the film.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.negative.film import Film
from sim.negative.sleeve_contents import Sleeve
from sim.shelf import OWN

# Raised by hand when the same inputs come to mean other densities: another film law, another way of laying on grain.
DEVELOPING_LAW = 2


def digest_of(sleeve: Sleeve, film: Film | None, codes: NDArray[np.unsignedinteger[Any]] | None) -> str:
    """Return the SHA-256 of a negative's inputs. ``codes`` is the stored picture, whole; None for a drawn target."""
    made_from = {
        "law": DEVELOPING_LAW, "scene": sleeve.scene, "camera": asdict(sleeve.camera), "film": _physics(film),
        "frame_mm": sleeve.frame_mm, "development": sleeve.development, "stain_share": sleeve.stain_share,
        "crop": asdict(sleeve.crop), "mirrored": sleeve.mirrored, "rebate_mm": sleeve.rebate_mm,
        "grain_of": sleeve.name.removeprefix(OWN), "scan_base": sleeve.scan.base_density if sleeve.scan else None,
    }  # fmt: skip
    digest = hashlib.sha256(json.dumps(_rounded(made_from), sort_keys=True).encode("utf-8"))
    if codes is not None:
        digest.update(np.ascontiguousarray(codes, dtype="<u2").data)
    return digest.hexdigest()


def _physics(film: Film | None) -> dict[str, Any]:
    return {key: value for key, value in asdict(film).items() if key not in ("title", "sources", "uncertainty")} if film else {}


def _rounded(value: Any) -> Any:
    """Return plain data with numbers as they would be written down: a power differs in its last bits between machines."""
    if isinstance(value, dict):
        return {str(key): _rounded(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_rounded(one) for one in value]
    return f"{value:.6g}" if isinstance(value, float) else value
