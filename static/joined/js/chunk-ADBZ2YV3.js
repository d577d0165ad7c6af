var n=/^\/changes\/[0-9a-f-]{36}$/i;function r(){let e=document.referrer&&new URL(document.referrer);return e&&e.origin===location.origin&&n.test(e.pathname)?e.pathname:null}export{r as a};
