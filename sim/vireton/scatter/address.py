"""Where a cluster is: what its address may look like, told before anybody is called."""

import re

from vireton.units.text import as_typed

LIKE = "tcp://192.0.2.7:8786"

_HOST = r"(?:[A-Za-z0-9](?:[A-Za-z0-9._-]*)|\[[0-9A-Fa-f:.]+(?:%[A-Za-z0-9]+)?\])"
_ADDRESS = re.compile(rf"(?:(?:tcp|tls)://)?{_HOST}:(?P<port>[0-9]+)")
#: Of a cluster inside this very process, as tests and notebooks have it.
_INSIDE = re.compile(r"inproc://[0-9A-Fa-f.:]+/[0-9]+/[0-9]+")


def checked(address: str) -> str:
    """The address without blanks around it. Raises ValueError for what cannot be one."""
    text = address.strip()
    if _INSIDE.fullmatch(text):
        return text
    match = _ADDRESS.fullmatch(text)
    if match is None:
        scheme, parted, rest = text.partition("://")
        if parted and scheme not in ("tcp", "tls"):
            why = f"begins with {scheme}://, a scheduler's with tcp:// or tls://"
        elif not re.search(r":[0-9]+", rest if parted else text):
            why = "names no port"
        else:
            why = "is not a machine and its port"
        raise ValueError(
            f"{as_typed(address)} {why}; give what the scheduler prints, such as {LIKE}"
        )
    if not 1 <= int(match["port"]) <= 65535:
        raise ValueError(
            f"{as_typed(address)} has the port {match['port']}; ports go from 1 to 65535. Give "
            f"what the scheduler prints, such as {LIKE}"
        )
    return text
