"""Addresses of clusters, read before anybody is called."""

import pytest

from vireton.scatter.address import checked


@pytest.mark.parametrize(
    "address",
    [
        "tcp://192.0.2.7:8786",
        "192.0.2.7:8786",
        "tls://tuning-room.example:8786",
        "tcp://[2001:db8::7]:8786",
        "  localhost:1 ",
        "inproc://192.0.2.7/123/1",
    ],
)
def test_addresses_are_taken(address):
    assert checked(address) == address.strip()


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("ftp://192.0.2.7:8786", "begins with ftp://"),
        ("inproc://x", "begins with inproc://"),
        ("192.0.2.7", "names no port"),
        ("tcp://192.0.2.7", "names no port"),
        ("tcp://192.0.2.7:", "names no port"),
        ("/var/scheduler.json", "names no port"),
        ("", "names no port"),
        ("tcp://192.0.2.7:8786/status", "not a machine and its port"),
        ("tcp://:8786", "not a machine and its port"),
        ("two words:8786", "not a machine and its port"),
        ("tcp://192.0.2.7:0", "ports go from 1 to 65535"),
        ("tcp://192.0.2.7:65536", "ports go from 1 to 65535"),
    ],
)
def test_what_cannot_be_one_is_told_with_one_that_can(address, said):
    with pytest.raises(ValueError, match=r"such as tcp://192\.0\.2\.7:8786") as caught:
        checked(address)
    assert said in str(caught.value)
