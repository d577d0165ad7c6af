import{I as r,K as i}from"./chunk-66HKCRCV.js";import{a}from"./chunk-OQDB557E.js";var l="Corrected twice, on two phones",u="Of corrections made on two phones, this one was chosen.";function f(t,s,o){let e=t.at(-1);return a`<section class="reasons conflict"><h2>${l}</h2>
    <p>Both are kept. The one that reached the server last counts until you choose.</p>
    <ol class="conflict__sides">${t.map(n=>p(n,n===e,s,o))}</ol></section>`}function p({id:t,record:s},o,e,n){let{verdict:c}=s.body.judgement;return a`<li class="conflict__side">
    <p class="conflict__word"><svg class="conflict__shape" aria-hidden="true"><use
      href="/static/shapes.svg#${c}"></use></svg>${e?.words.verdicts[c]?.word??c}${o?" · counts now":""}</p>
    <p>${i(d(t))}${s.made_by?` by ${s.made_by}`:""}</p>
    <p><b>Reason:</b> ${s.reason??"none given"}</p>
    <details class="more"><summary>What was entered</summary>${n(s.body)}</details>
    <button type="button" class="button button--quiet button--wide" data-settle="${t}">This one counts</button>
  </li>`}var d=t=>r(new Date(parseInt(t.replaceAll("-","").slice(0,12),16)));function b(t,s){let o=s.filter(({id:e})=>e!==t.id).map(({id:e})=>e);return{...t.record,corrects:t.id,also_corrects:o,reason:u}}export{l as a,f as b,b as c};
