// Reads {schemas: {kind: schema}, files: [{kind, text}]} and prints, for each file, what the schema has against it; empty if nothing.
const Ajv = require('ajv');
const yaml = require('yaml');
const { schemas, files } = JSON.parse(require('fs').readFileSync(0, 'utf8'));
const ajv = new Ajv({ strict: true, allErrors: true, allowUnionTypes: true });
const check = Object.fromEntries(Object.entries(schemas).map(([kind, schema]) => [kind, ajv.compile(schema)]));
console.log(JSON.stringify(files.map(({ kind, text }) => {
  let value;
  try {
    value = yaml.parse(text);
  } catch (fault) {
    return `yaml: ${fault.message}`;
  }
  return check[kind](value) ? '' : ajv.errorsText(check[kind].errors);
})));
