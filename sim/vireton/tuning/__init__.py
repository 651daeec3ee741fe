"""From what was seen to what to do: the inference of launch errors and the next rest move.

``unknowns`` says what is not known, ``prior`` and ``practice`` what is plausible before any shot,
``surface`` what arrows do for given launch errors, ``evidence`` what was seen, ``stories`` what may
have gone wrong, ``posterior`` what all that says, ``belief`` draws from it, ``advice`` decides.
``walkback`` reads walk-back points.
"""
