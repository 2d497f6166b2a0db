"""Ranking against BM25F as its authors give it, worked out here in Python.

Source: Robertson and Zaragoza, The Probabilistic Relevance Framework: BM25 and Beyond, Foundations and Trends in
Information Retrieval 3 (2009), section 3.6: frequencies are divided by 1 − b + b·length/mean length of their field,
weighed by it and added up; the sum saturates with k1. The weight of a term is the one without knowledge of relevant
documents of section 3.1, with 1 added under the logarithm so that none is negative (common practice). That a score also
grows with the share of the query that was found is no part of BM25F.
"""

import math
import random
from typing import Final

import pytest

FIELDS: Final = [{"weight": 6, "norm": 0.3}, {"weight": 1.5, "norm": 0.75}]
K1: Final = 1.2
TERMS: Final = 12

Documents = list[list[list[int]]]


def documents(count: int) -> Documents:
    choose = random.Random(4)
    return [[[choose.randrange(TERMS) for _ in range(choose.randrange(6))] for _ in FIELDS] for _ in range(count)]


def bm25f(given: Documents, document: list[list[int]], term: int) -> float:
    """The score of one term."""
    frequency = 0.0
    for f, field in enumerate(FIELDS):
        mean = sum(len(one[f]) for one in given) / len(given)
        length = 1 - field["norm"] + field["norm"] * len(document[f]) / mean
        frequency += field["weight"] * document[f].count(term) / length
    holds = sum(any(term in text for text in one) for one in given)
    weight = math.log(1 + (len(given) - holds + 0.5) / (holds + 0.5))
    return weight * frequency * (K1 + 1) / (K1 + frequency)


def ranked(modules, given: Documents, concepts: list[dict[int, float]]) -> list[dict]:
    pairs = [[[*concept.items()], 1] for concept in concepts]
    return modules.evaluate(
        """([fields, documents, terms, pairs]) => new droplight.ranking.Ranking(fields, documents, terms)
            .find(pairs.map(([fits, share]) => ({ terms: new Map(fits), share })))""",
        [FIELDS, given, TERMS, pairs],
    )


@pytest.mark.parametrize("term", range(TERMS))
def test_one_term_scores_as_published(term: int, modules) -> None:
    given = documents(30)
    scores = {place: bm25f(given, document, term) for place, document in enumerate(given)}
    hits = ranked(modules, given, [{term: 1}])
    assert {hit["place"]: hit["score"] for hit in hits} == pytest.approx({k: s for k, s in scores.items() if s})
    assert [hit["score"] for hit in hits] == sorted((hit["score"] for hit in hits), reverse=True)


def test_scores_of_terms_add_up_and_grow_with_the_share_of_the_query_that_is_found(modules) -> None:
    given = documents(30)
    for hit in ranked(modules, given, [{1: 1}, {2: 1}]):
        document = given[hit["place"]]
        whole = sum(bm25f(given, document, term) for term in (1, 2))
        assert hit["score"] == pytest.approx(whole * (0.5 + 0.5 * hit["explained"]))
        assert (hit["explained"] == pytest.approx(1)) == all(any(t in text for text in document) for t in (1, 2))


def test_of_terms_that_stand_for_one_word_the_best_counts(modules) -> None:
    given = [[[0], []], [[1], []], [[0, 1], []], [[2], []]]
    first, *_ = ranked(modules, given, [{0: 1, 1: 0.8}])
    alone, *_ = ranked(modules, given, [{0: 1}])
    assert first["score"] == alone["score"]
    assert {hit["place"] for hit in ranked(modules, given, [{0: 1, 1: 0.8}])} == {0, 1, 2}


def test_what_merely_stands_for_a_word_weighs_no_more_than_it(modules) -> None:
    given = [[[0], []], [[0], []], [[0], []], [[1], []], *[[[2], []]] * 20]
    scores = {hit["place"]: hit["score"] for hit in ranked(modules, given, [{0: 1, 1: 0.8}])}
    assert scores[3] == pytest.approx(0.8 * scores[0])


def test_what_says_the_same_as_a_word_that_nobody_uses_counts_as_the_word(modules) -> None:
    given = [[[0], []], *[[[2], []]] * 20]
    (word,), (other,) = ranked(modules, given, [{0: 1}]), ranked(modules, given, [{5: 1, 0: 0.8}])
    (slip,) = ranked(modules, given, [{5: 1, 0: 0.6}])
    assert other["score"] == word["score"]
    assert slip["score"] == pytest.approx(0.6 * word["score"])


def test_a_tie_keeps_the_order_of_the_documents(modules) -> None:
    given = [[[0], []], [[1], []], [[0], []]]
    assert [hit["place"] for hit in ranked(modules, given, [{0: 1}])] == [0, 2]


def test_a_search_leaves_nothing_behind(modules) -> None:
    given = documents(10)
    twice = modules.evaluate(
        """([fields, documents, terms]) => {
            const ranking = new droplight.ranking.Ranking(fields, documents, terms);
            const query = [{ terms: new Map([[1, 1], [2, 0.5]]), share: 1 }, { terms: new Map([[3, 1]]), share: 0.5 }];
            return [ranking.find(query), ranking.find(query)];
        }""",
        [FIELDS, given, TERMS],
    )
    assert twice[0] == twice[1]
