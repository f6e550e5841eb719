import { fail, type Problem, type Result } from '@stillmast/core/result';
import { readJson } from '@stillmast/formats/json';
import { readScenario, type Scenario } from '@stillmast/formats/scenario';
import type { ScenarioDocuments } from '@stillmast/record/scenario';
import afterGearboxSmoothingCard from '../../../../../demo-scenarios/after-gearbox-smoothing/card.json?raw';
import afterGearboxSmoothing from '../../../../../demo-scenarios/after-gearbox-smoothing/scenario.json?raw';
import afterGearboxSmoothingType from '../../../../../demo-scenarios/after-gearbox-smoothing/type.json?raw';
import hiddenDefect from '../../../../../demo-scenarios/hidden-defect/scenario.json?raw';
import lostTablet from '../../../../../demo-scenarios/lost-tablet/scenario.json?raw';
import offlineCockpit from '../../../../../demo-scenarios/offline-cockpit/scenario.json?raw';
import oneWitness from '../../../../../demo-scenarios/one-witness/scenario.json?raw';
import powerTrendCard from '../../../../../demo-scenarios/power-trend/card.json?raw';
import powerTrend from '../../../../../demo-scenarios/power-trend/scenario.json?raw';
import tailRotorCard from '../../../../../demo-scenarios/tail-rotor/card.json?raw';
import tailRotor from '../../../../../demo-scenarios/tail-rotor/scenario.json?raw';
import wholeCardCard from '../../../../../demo-scenarios/whole-card/card.json?raw';
import wholeCard from '../../../../../demo-scenarios/whole-card/scenario.json?raw';
import wrongBladeCard from '../../../../../demo-scenarios/wrong-blade/card.json?raw';
import wrongBlade from '../../../../../demo-scenarios/wrong-blade/scenario.json?raw';
import wrongBladeType from '../../../../../demo-scenarios/wrong-blade/type.json?raw';

/** Texts of the scenarios that come with the board, in the order in which they are offered. */
const scenarioTexts: readonly string[] = [
	afterGearboxSmoothing,
	wrongBlade,
	tailRotor,
	hiddenDefect,
	offlineCockpit,
	lostTablet,
	oneWitness,
	powerTrend,
	wholeCard,
];

/** Cards and type data that they name, by folder and file. */
const documentTexts: Readonly<Record<string, string>> = {
	'after-gearbox-smoothing/card.json': afterGearboxSmoothingCard,
	'after-gearbox-smoothing/type.json': afterGearboxSmoothingType,
	'wrong-blade/card.json': wrongBladeCard,
	'wrong-blade/type.json': wrongBladeType,
	'tail-rotor/card.json': tailRotorCard,
	'power-trend/card.json': powerTrendCard,
	'whole-card/card.json': wholeCardCard,
};

/** Every scenario of the board, by the same reader as anybody's. */
export function shippedScenarios(): readonly Scenario[] {
	return scenarioTexts.map((text) => {
		const read = readText(text, readScenario);
		// our own file: a fault in it is ours
		if (!read.ok) throw new Error(`${read.problem.code} ${read.problem.path ?? ''}`);
		return read.value;
	});
}

/** The card and the type data of a shipped scenario. */
export function documentsOf({ id, card, typeData }: Scenario): Result<ScenarioDocuments, Problem> {
	const [cardRead, typeRead] = [card, typeData].map((file) => {
		const place = file.startsWith('../') ? file.slice(3) : `${id}/${file}`;
		const text = documentTexts[place];
		return text === undefined ? fail({ code: 'no-file', found: place }) : readJson(text);
	}) as [Result<unknown, Problem>, Result<unknown, Problem>];
	if (!cardRead.ok) return cardRead;
	if (!typeRead.ok) return typeRead;
	return { ok: true, value: { card: cardRead.value, typeData: typeRead.value } };
}

function readText<T>(text: string, read: (value: unknown) => Result<T, Problem>): Result<T, Problem> {
	const json = readJson(text);
	return json.ok ? read(json.value) : json;
}
