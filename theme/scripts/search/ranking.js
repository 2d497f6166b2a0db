/* Ranking by BM25F: Robertson and Zaragoza, The Probabilistic Relevance Framework: BM25 and Beyond (2009), section 3.6.
   Fields are weighed before they are added up, so that a word in title and summary saturates once. Beyond that, a score grows
   with the share of the query that was found, since owners say more than any playbook holds. */

/** How soon more of the same adds nothing: the k1 of BM25. */
const SATURATION = 1.2;
/** How much of a score rests on the share of the query that was found. */
const COVERAGE = 0.5;
/** A term that fits so well is the word itself, or says the same. */
const CERTAIN = 0.75;

/** @typedef {{ weight: number, norm: number }} Field how much a field counts, and how much its length (the b of BM25F) */
/** @typedef {{ terms: Map<number, number>, share: number }} Concept terms that may stand for a piece of the query, with how well
    each fits, and how much the piece counts */
/** @typedef {{ place: number, score: number, explained: number }} Hit `explained` is the share of the query that was found */

export class Ranking {
  /**
   * @param {readonly Field[]} fields
   * @param {readonly number[][][]} documents terms by document and field
   * @param {number} terms how many there are
   */
  constructor(fields, documents, terms) {
    this.count = documents.length;
    /** @type {(number[] | undefined)[]} documents and weighed frequencies in turn, by term */
    this.postings = new Array(terms);
    this.scores = new Float64Array(this.count);
    this.explained = new Float64Array(this.count);
    this.best = new Float64Array(this.count);
    const means = fields.map((_, f) => documents.reduce((sum, document) => sum + document[f].length, 0) / (this.count || 1));
    const frequencies = new Float64Array(terms);
    documents.forEach((document, place) => {
      /** @type {number[]} */
      const held = [];
      fields.forEach(({ weight, norm }, f) => {
        const each = weight / (1 - norm + norm * (document[f].length / (means[f] || 1)));
        for (const term of document[f]) {
          if (!frequencies[term]) held.push(term);
          frequencies[term] += each;
        }
      });
      for (const term of held) {
        (this.postings[term] ??= []).push(place, frequencies[term]);
        frequencies[term] = 0;
      }
    });
  }

  /**
   * How much a term tells documents apart.
   * @param {number} term
   */
  weight(term) {
    return this.weightOf((this.postings[term]?.length || 0) / 2);
  }

  /** @param {number} count documents that hold a term */
  weightOf(count) {
    return Math.log(1 + (this.count - count + 0.5) / (count + 0.5));
  }

  /**
   * Documents that hold something of the query, best first; of a tie, the earlier one.
   * @param {readonly Concept[]} concepts
   * @returns {Hit[]}
   */
  find(concepts) {
    /** @type {Set<number>} */
    const found = new Set();
    let whole = 0;
    for (const concept of concepts) whole += this.seek(concept, found);
    const hits = [...found].map((place) => {
      const explained = this.explained[place] / whole;
      const score = this.scores[place] * (1 - COVERAGE + COVERAGE * explained);
      this.scores[place] = 0;
      this.explained[place] = 0;
      return { place, score, explained };
    });
    return hits.sort((a, b) => b.score - a.score || a.place - b.place);
  }

  /**
   * What stands for a word that no document holds, counts as the word itself; what stands beside it weighs no more than it.
   * @param {Map<number, number>} terms
   */
  measure(terms) {
    let best = 0, limit = Infinity;
    for (const [term, fit] of terms) {
      if (!this.postings[term] || fit < best) continue;
      limit = fit > best ? this.weight(term) : Math.max(limit, this.weight(term));
      best = fit;
    }
    return { scale: best < 1 && best >= CERTAIN ? 1 / best : 1, limit: best >= CERTAIN ? limit : Infinity };
  }

  /**
   * Add the scores of one concept to the documents that hold it: of the terms that may stand for it, a document's best
   * counts. Gives the weight of the concept in the query; one that no document holds weighs most.
   * @param {Concept} concept
   * @param {Set<number>} found takes the documents
   */
  seek({ terms, share }, found) {
    const { best } = this;
    /** @type {number[]} */
    const touched = [];
    const { scale, limit } = this.measure(terms);
    let most = 0;
    for (const [term, fit] of terms) {
      const list = this.postings[term];
      if (!list) continue;
      const weight = share * Math.min(1.3, scale * fit) * Math.min(limit, this.weight(term));
      if (weight > most) most = weight;
      for (let k = 0; k < list.length; k += 2) {
        const score = weight * (list[k + 1] * (SATURATION + 1)) / (SATURATION + list[k + 1]);
        if (!best[list[k]]) touched.push(list[k]);
        if (score > best[list[k]]) best[list[k]] = score;
      }
    }
    for (const place of touched) {
      this.scores[place] += best[place];
      this.explained[place] += most;
      best[place] = 0;
      found.add(place);
    }
    return most || share * this.weightOf(0);
  }
}
