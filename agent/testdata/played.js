// An agent that says what a test gives it: for states that no stand-in can be brought into on time. What is not given is
// asked of the real one. window.played: {said: messages over the socket, answers: path to body}.
(() => {
  const {said, answers} = window.played, real = window.fetch.bind(window);
  window.WebSocket = class {
    readyState = 1;
    constructor(url) {
      if (!url.includes('/v1/live')) return;
      const say = (m) => this.onmessage?.({data: JSON.stringify(m)});
      setTimeout(() => { for (const m of said) say(m); }, 0);
      const alive = said.filter((m) => m.type === 'snapshot').flatMap((m) => m.printers.map((printer) => ({type: 'printer', printer})));
      this.beat = setInterval(() => alive.forEach(say), 1000);
    }
    close() { clearInterval(this.beat); }
  };
  window.fetch = (path, init) => {
    const body = answers[String(path)] ?? answers[String(path).split('?')[0]];
    if (body === undefined) return real(path, init);
    if (String(path).includes('within=')) return new Promise(() => {});
    if (typeof body === 'string') return Promise.resolve(new Response(body, {status: 200}));
    return Promise.resolve(new Response(JSON.stringify(body.problem ?? body), {status: body.problem?.status ?? 200, headers: {'Content-Type': 'application/json'}}));
  };
})();
