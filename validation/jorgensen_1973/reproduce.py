"""The drag of the shaft in crossflow at the Reynolds numbers of slender-body tests."""

from vireton.aerodynamics.crossflow import cylinder_drag_coefficient
from vireton.published.checks import CaseData


def reproduce(data: CaseData) -> dict[str, float]:
    return {f"at_{re:.0f}": float(cylinder_drag_coefficient(re)) for re in data.data["reynolds"]}
