import{a as t}from"./chunk-OQDB557E.js";function c(e,r="h1"){return t`<div class="verdict verdict--none" data-no-verdict>
    <svg class="verdict__shape" aria-hidden="true"><use href="/static/shapes.svg#none"></use></svg>
    ${s("No verdict",r)}
    <p class="verdict__sentence">${e}</p>
  </div>`}var s=(e,r)=>r==="h1"?t`<h1 class="verdict__word" tabindex="-1">${e}</h1>`:t`<h2 class="verdict__word">${e}</h2>`;export{c as a,s as b};
