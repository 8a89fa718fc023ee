// Components need no preprocessing: TypeScript in them is understood as it stands.
export default {};
