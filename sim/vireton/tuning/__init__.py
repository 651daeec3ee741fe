"""From what was seen to what to do: the inference of launch errors and the next rest move.

``response`` flies the arrows for given launch errors, ``prior`` says what is plausible before any
shot, ``fit`` finds what the rounds of a log say, ``advice`` turns that into the next move, and
``walkback`` reads walk-back points.
"""
