/* Reckoning in the browser: adds up and weighs what the build shipped, by the formulas of builder/reckon.
   A test holds every figure against the build's. Amounts are [low, likely, high]; money in the site's currency,
   time in minutes. Settings: {rate: a workshop's hour, tools: {id: "own" | "borrow"}}. */
"use strict";
var droplight = globalThis.droplight || (globalThis.droplight = {});

droplight.reckon = (() => {
  const LISTABLE = 10000;
  const ZERO = [0, 0, 0];
  const mean = (amount) => (amount[0] + 4 * amount[1] + amount[2]) / 6;
  const add = (sum, amount, factor = 1) => sum.map((figure, k) => figure + amount[k] * factor);

  function toolPrice(model, tool, settings) {
    const { price, borrow } = model.tools[tool];
    const how = settings.tools[tool];
    if (how === "own") return ZERO;
    return how === "borrow" && borrow ? borrow : price;
  }

  /** What a list of work costs together, as amounts: tools and access jobs once, labour where only a shop may do it. */
  function bill(works, settings) {
    let money = ZERO, shopMoney = ZERO, minutes = ZERO;
    const tools = new Set(), parts = new Map(), access = new Map();
    const rate = settings.rate / 60;
    for (const { model, node } of works) {
      money = add(money, node.cost);
      shopMoney = add(add(shopMoney, node.cost), node.time, rate);
      minutes = add(minutes, node.time);
      if (node.shop) money = add(money, node.time, rate);
      for (const [part, count] of Object.entries(node.parts)) {
        const price = model.parts[part].price;
        money = add(money, price, count);
        shopMoney = add(shopMoney, price, count);
        parts.set(part, (parts.get(part) || 0) + count);
      }
      for (const tool of node.tools) {
        if (!tools.has(tool)) money = add(money, toolPrice(model, tool, settings));
        tools.add(tool);
      }
      for (const job of node.access) {
        const { open, close } = model.access[job];
        const known = access.get(job);
        if (!known) minutes = add(add(minutes, open), close);
        access.set(job, { time: add(open, close), owner: !node.shop || Boolean(known && known.owner) });
      }
    }
    for (const { time, owner } of access.values()) {
      shopMoney = add(shopMoney, time, rate);
      if (!owner) money = add(money, time, rate);
    }
    return { money, shopMoney, minutes, tools, parts, access };
  }

  /** How many ways lead from each node to where paths stop. */
  function pathCounts(model) {
    const counts = new Array(model.nodes.length).fill(1);
    for (let i = counts.length - 1; i >= 0; i--) {
      const results = model.nodes[i].results;
      if (results) counts[i] = results.reduce((sum, result) => sum + counts[result.to], 0);
    }
    return counts;
  }

  /** Weights of the causes after one more result; divide by their sum for shares (Bayes' rule). */
  const weigh = (weights, result) => weights.map((weight, c) => weight * result.chance[c]);

  function shares(weights) {
    const whole = weights.reduce((sum, weight) => sum + weight, 0);
    return whole > 0 ? weights.map((weight) => weight / whole) : null;
  }

  /** Figures carried back from where paths stop to every node, by cause; see builder/reckon/expect.py. */
  function back(model, stop, known) {
    const rows = new Array(model.nodes.length);
    for (let i = rows.length - 1; i >= 0; i--) {
      const results = model.nodes[i].results;
      rows[i] = known(i) || (results
        ? model.prior.map((_, c) => results.reduce((sum, result) => sum + rows[result.to][c] * result.chance[c], 0))
        : stop(i));
    }
    return rows;
  }

  /** Means still to come from a node on, to one with these weights who has done `before`: exact at any size.
      `stop` says by cause whether an end counts (by default every end does). */
  function expect(model, start, weights, before, settings, stop) {
    const now = shares(weights);
    if (!now) return null;
    const counts = stop || (() => model.prior.map(() => 1));
    const none = model.prior.map(() => 0);
    const worth = back(model, counts, () => null);
    const dot = (row) => row.reduce((sum, figure, c) => sum + figure * now[c], 0);
    const reach = model.nodes.map(() => none.slice());
    reach[start] = now.slice();
    const total = { money: 0, shopMoney: 0, minutes: 0 };
    const rate = settings.rate / 60;
    const users = { tools: new Map(), access: new Map(), owners: new Map() };
    const use = (map, name, i) => map.set(name, (map.get(name) || new Set()).add(i));
    for (let i = start; i < model.nodes.length; i++) {
      const node = model.nodes[i];
      for (const result of node.results || []) {
        result.chance.forEach((chance, c) => { reach[result.to][c] += reach[i][c] * chance; });
      }
      const passed = reach[i].reduce((sum, chance, c) => sum + chance * worth[i][c], 0);
      if (!passed) continue;
      const material = mean(node.cost) + Object.entries(node.parts)
        .reduce((sum, [part, count]) => sum + mean(model.parts[part].price) * count, 0);
      const time = mean(node.time);
      total.money += passed * (material + (node.shop ? time * rate : 0));
      total.shopMoney += passed * (material + time * rate);
      total.minutes += passed * time;
      for (const tool of node.tools) use(users.tools, tool, i);
      for (const job of node.access) {
        use(users.access, job, i);
        if (!node.shop) use(users.owners, job, i);
      }
    }
    const meets = (nodes) => nodes ? dot(back(model, () => none, (i) => nodes.has(i) ? worth[i] : null)[start]) : 0;
    const done = bill(before, settings);
    for (const [tool, nodes] of users.tools) {
      const price = mean(toolPrice(model, tool, settings));
      if (price && !done.tools.has(tool)) total.money += price * meets(nodes);
    }
    for (const [job, nodes] of users.access) {
      const { open, close } = model.access[job];
      const time = mean(open) + mean(close);
      const known = done.access.get(job);
      const byOwner = meets(users.owners.get(job));
      const met = known ? 0 : meets(nodes);
      total.minutes += time * met;
      total.shopMoney += time * rate * met;
      if (!known) total.money += time * rate * (met - byOwner);
      else if (!known.owner) total.money -= time * rate * byOwner;
    }
    return total;
  }

  /** Every path from a node on: its nodes and, with weights, its chance among the cases that are here. */
  function paths(model, start, weights) {
    const found = [];
    const whole = weights ? weights.reduce((sum, weight) => sum + weight, 0) : 0;
    const walk = (i, nodes, results, left) => {
      const here = [...nodes, i];
      const node = model.nodes[i];
      if (!node.results) {
        const chance = left ? left.reduce((sum, weight) => sum + weight, 0) / whole : null;
        found.push({ nodes: here, results, chance });
        return;
      }
      for (const result of node.results) walk(result.to, here, [...results, result.name], left && weigh(left, result));
    };
    walk(start, [], [], weights);
    return found;
  }

  /** Mean money and chance of every way on that can happen, adding up as it goes. */
  function spendings(model, start, weights, before, settings) {
    const ways = [];
    const rate = settings.rate / 60;
    const whole = weights.reduce((sum, weight) => sum + weight, 0);
    const openings = (job) => (mean(model.access[job].open) + mean(model.access[job].close)) * rate;
    const own = model.nodes.map((node) => mean(node.cost) + (node.shop ? mean(node.time) * rate : 0) +
      Object.entries(node.parts).reduce((sum, [part, count]) => sum + mean(model.parts[part].price) * count, 0));
    const walk = (i, left, money, tools, owners) => {
      const chance = left.reduce((sum, weight) => sum + weight, 0) / whole;
      if (!chance) return;
      const node = model.nodes[i];
      let sum = money + own[i];
      const buy = node.tools.filter((tool) => !tools.has(tool));
      for (const tool of buy) sum += mean(toolPrice(model, tool, settings));
      const opened = node.access.length ? new Map(owners) : owners;
      for (const job of node.access) {
        const byOwner = opened.get(job);
        if (byOwner === undefined && node.shop) sum += openings(job);
        if (byOwner === false && !node.shop) sum -= openings(job);
        opened.set(job, byOwner || !node.shop);
      }
      if (!node.results) ways.push({ chance, money: sum });
      const bought = buy.length ? new Set([...tools, ...buy]) : tools;
      for (const result of node.results || []) walk(result.to, weigh(left, result), sum, bought, opened);
    };
    const done = bill(before, settings);
    walk(start, weights, 0, done.tools, new Map([...done.access].map(([job, { owner }]) => [job, owner])));
    return ways;
  }

  /** For each share: the least money m such that so many of the cases stay within it; null where paths are too many. */
  function within(model, start, weights, before, settings, wanted) {
    if (pathCounts(model)[start] > LISTABLE || !shares(weights)) return null;
    const ways = spendings(model, start, weights, before, settings).sort((a, b) => a.money - b.money);
    return wanted.map((share) => {
      let sum = 0;
      for (const way of ways) {
        sum += way.chance;
        if (sum >= share - 1e-12) return way.money;
      }
      return ways[ways.length - 1].money;
    });
  }

  /** How sure one can be that a fault is gone after so many clean trials. */
  const sureAfter = (shows, clean) => 1 - (1 - shows) ** clean;

  return { LISTABLE, mean, bill, pathCounts, weigh, shares, expect, paths, within, sureAfter, toolPrice };
})();
