import{h as c,a as l,l as r}from"./rig-rules-rqXCwGg8.js";import{V as u}from"./words-B_2BOh--.js";const i="Corrected twice, on two phones",p="Of corrections made on two phones, this one was chosen.";function d(t,s){const e=t.at(-1);return c`<section class="reasons conflict"><h2>${i}</h2>
    <p>Both are kept. The one that was made last, by the phones’ clocks, counts until you choose.</p>
    <ol class="conflict__sides">${t.map(o=>h(o,o===e,s))}</ol></section>`}function h({id:t,record:s},e,o){const n=s.body,{verdict:a}=n.judgement;return c`<li class="conflict__side">
    <p class="conflict__word"><svg class="conflict__shape" aria-hidden="true"><use
      href="/static/shapes.svg#${a}"></use></svg>${u[a]??"Not known"}${e?" · counts now":""}</p>
    <p>${l(m(t))}${s.made_by?` by ${s.made_by}`:""}</p>
    <p><b>Reason:</b> ${s.reason??"none given"}</p>
    <details class="more"><summary>What was entered</summary>${o(n)}</details>
    <button type="button" class="button button--quiet button--wide" data-settle="${t}">This one counts</button>
  </li>`}const m=t=>r(new Date(parseInt(t.replaceAll("-","").slice(0,12),16)));function b(t,s){const e=s.filter(({id:o})=>o!==t.id).map(({id:o})=>o);return{...t.record,corrects:t.id,also_corrects:e,reason:p}}export{i as S,d as c,b as s};
