// The syntax of derived series: mathjs's parser and its nodes, put together without anything that evaluates. Its usual
// assembly also brings matrices and all functions, which take longer to set up than a header takes to read.
import * as parts from 'mathjs';
import type { MathNode } from 'mathjs';

type Factory = (parts: Readonly<Record<string, unknown>>) => unknown;

declare module 'mathjs' {
  // The package's types leave its factories out.
  export const createParse: Factory;
  export const createNumber: Factory;
  export const createNode: Factory;
  export const createAccessorNode: Factory;
  export const createArrayNode: Factory;
  export const createAssignmentNode: Factory;
  export const createBlockNode: Factory;
  export const createConditionalNode: Factory;
  export const createConstantNode: Factory;
  export const createFunctionAssignmentNode: Factory;
  export const createFunctionNode: Factory;
  export const createIndexNode: Factory;
  export const createObjectNode: Factory;
  export const createOperatorNode: Factory;
  export const createParenthesisNode: Factory;
  export const createRangeNode: Factory;
  export const createRelationalNode: Factory;
  export const createSymbolNode: Factory;
}

type Parse = (text: string) => MathNode;

/** In the place of mathjs's dispatch by types: all that is asked here is asked with a text. */
const ofText = Object.assign((_: string, forms: { readonly string: unknown }) => forms.string, {
  addConversion: () => undefined,
  referToSelf: () => undefined,
});

function makeParse(): Parse {
  // What only evaluation would call is asked for by name, and left empty.
  const never = { math: {}, mathWithTransform: {}, subset: {}, ResultSet: {}, size: {}, typed: {} };
  const Node = parts.createNode(never);
  const base = { ...never, Node, isBounded: Number.isFinite };
  const SymbolNode = parts.createSymbolNode(base);
  return parts.createParse({
    config: { number: 'number' },
    numeric: parts.createNumber({ typed: ofText }),
    typed: ofText,
    AccessorNode: parts.createAccessorNode(base),
    ArrayNode: parts.createArrayNode(base),
    AssignmentNode: parts.createAssignmentNode(base),
    BlockNode: parts.createBlockNode(base),
    ConditionalNode: parts.createConditionalNode(base),
    ConstantNode: parts.createConstantNode(base),
    FunctionAssignmentNode: parts.createFunctionAssignmentNode(base),
    FunctionNode: parts.createFunctionNode({ ...base, SymbolNode }),
    IndexNode: parts.createIndexNode(base),
    ObjectNode: parts.createObjectNode(base),
    OperatorNode: parts.createOperatorNode(base),
    ParenthesisNode: parts.createParenthesisNode(base),
    RangeNode: parts.createRangeNode(base),
    RelationalNode: parts.createRelationalNode(base),
    SymbolNode,
  }) as Parse;
}

let parse: Parse | undefined;

/** @throws Error with the place as `char`, from 1; RangeError where it is nested too deeply. */
export function parseExpression(text: string): MathNode {
  parse ??= makeParse();
  return parse(text);
}
