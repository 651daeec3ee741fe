"""The two plate formulas under the shaft's skin friction, in thousandths."""

from vireton.aerodynamics.body import laminar_friction, turbulent_friction
from vireton.published.checks import CaseData


def reproduce(data: CaseData) -> dict[str, float]:
    ours = {}
    for reynolds in data.data["reynolds"]:
        ours[f"laminar_{reynolds:.0f}"] = 1e3 * float(laminar_friction(reynolds))
        ours[f"turbulent_{reynolds:.0f}"] = 1e3 * float(turbulent_friction(reynolds))
    return ours
