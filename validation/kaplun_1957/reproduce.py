"""The drag of the shaft in crossflow at the lowest Reynolds numbers."""

from vireton.aerodynamics.crossflow import cylinder_drag_coefficient
from vireton.published.checks import CaseData


def reproduce(data: CaseData) -> dict[str, float]:
    return {f"at_{re:g}": float(cylinder_drag_coefficient(re)) for re in data.data["reynolds"]}
