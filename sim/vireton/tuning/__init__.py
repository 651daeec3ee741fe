"""From what was seen to what to do: the inference of launch errors and the next rest move.

In the order of the work: ``rounds`` hold ``observations`` and ``changes`` of the bow; ``segments``
cuts them where the bow was changed. ``unknowns`` says what is not known, ``prior`` and ``practice``
what is plausible before any shot, ``causes`` how far a bow set up by eye is off. ``response`` and
``sensitivities`` fly arrows with launch errors, ``surface`` puts that in formulas, ``flown`` keeps
them, ``spread`` and ``groups`` say how shots scatter. ``evidence`` is what was seen, as arrays;
``stories`` are what may have gone wrong; ``predicting`` says what would be seen, ``posterior`` what
all that makes likely; ``transitions`` carries it over a change. ``belief`` draws from it, ``best``
says where each draw would have the rest, ``advice`` decides between ``moves``, shots and
``benchwork`` by their ``costs``, ``outlook`` says what to look for. ``loop`` is one turn of all
that.

``walkback`` reads walk-back points, with ``walkback_lines``, ``walkback_fit``, ``walkback_next``.
"""
