// Shows a page anew when the book has changed, where the page itself looks otherwise. A
// tab that nobody sees asks nothing: a browser has few connections to one program.
"use strict";
(() => {
	const mark = document.currentScript.dataset.mark;
	const place = "view " + location.pathname;
	let events = null;

	// Where the page was scrolled to when it was shown anew.
	const kept = sessionStorage.getItem(place);
	if (kept !== null) {
		sessionStorage.removeItem(place);
		const back = () => scrollTo(0, Number(kept));
		back();
		addEventListener("load", back, {once: true});
	}

	const look = async () => {
		let answer;
		try {
			answer = await fetch(location.pathname, {method: "HEAD", cache: "no-store"});
		} catch {
			return; // the program has ended; events come again with the next one
		}
		if (answer.headers.get("X-View") !== mark) {
			sessionStorage.setItem(place, String(scrollY));
			location.reload();
		}
	};
	const watch = () => {
		if (document.visibilityState === "visible" && events === null) {
			events = new EventSource("/_view/events");
			events.onmessage = look;
		} else if (document.visibilityState !== "visible" && events !== null) {
			events.close();
			events = null;
		}
	};
	document.addEventListener("visibilitychange", watch);
	addEventListener("pagehide", () => {
		if (events !== null) events.close();
		events = null;
	});
	addEventListener("pageshow", watch);
	watch();
})();
