/** Passkeys in the browser: the server's options in, what the authenticator answered out. */
import { call, Refused } from "./api";

interface Named {
  type: "public-key";
  id: string;
}
interface Making {
  challenge: string;
  rp: { id: string; name: string };
  user: { id: string; name: string; displayName: string };
  pubKeyCredParams: PublicKeyCredentialParameters[];
  timeout: number;
  excludeCredentials: Named[];
  authenticatorSelection: AuthenticatorSelectionCriteria;
}
interface Showing {
  challenge: string;
  rpId: string;
  timeout: number;
}

/** Whether this browser knows passkeys at all; it needs HTTPS or this very machine. */
export const able = (): boolean => "PublicKeyCredential" in globalThis;

export function bytes(text: string): Uint8Array<ArrayBuffer> {
  const plain = atob(text.replace(/-/g, "+").replace(/_/g, "/"));
  return Uint8Array.from(plain, (sign) => sign.charCodeAt(0));
}

export function text(of: ArrayBuffer): string {
  const plain = String.fromCharCode(...new Uint8Array(of));
  return btoa(plain).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
}

/** Ask the authenticator; a person who turns it away is told so, like a refusal of the server. */
async function asked(work: () => Promise<Credential | null>): Promise<PublicKeyCredential> {
  let got: Credential | null;
  try {
    got = await work();
  } catch (error) {
    const there = error instanceof DOMException && error.name === "InvalidStateError";
    const words = there ? "This device has a passkey here already." : "No passkey was used.";
    throw new Refused(0, words, []);
  }
  if (!(got instanceof PublicKeyCredential)) throw new Refused(0, "No passkey was used.", []);
  return got;
}

const sent = (got: PublicKeyCredential, response: Record<string, string>) => ({
  id: got.id,
  rawId: text(got.rawId),
  type: got.type,
  response: { clientDataJSON: text(got.response.clientDataJSON), ...response },
});

/** Make a passkey for the owner who is in, after the password was asked again. */
export async function addPasskey(name: string, password: string): Promise<void> {
  const { options } = await call<{ options: Making }>("POST", "/owner/passkeys/options", {
    password,
  });
  const publicKey: PublicKeyCredentialCreationOptions = {
    ...options,
    challenge: bytes(options.challenge),
    user: { ...options.user, id: bytes(options.user.id) },
    excludeCredentials: options.excludeCredentials.map((one) => ({ ...one, id: bytes(one.id) })),
  };
  const got = await asked(() => navigator.credentials.create({ publicKey }));
  const { attestationObject } = got.response as AuthenticatorAttestationResponse;
  const credential = sent(got, { attestationObject: text(attestationObject) });
  await call("POST", "/owner/passkeys", { name, credential });
}

/** Sign in with whichever passkey of this site the person picks. */
export async function enterByPasskey(): Promise<void> {
  const { options } = await call<{ options: Showing }>("POST", "/owner/passkey/options");
  const publicKey: PublicKeyCredentialRequestOptions = {
    rpId: options.rpId,
    timeout: options.timeout,
    userVerification: "required",
    challenge: bytes(options.challenge),
  };
  const got = await asked(() => navigator.credentials.get({ publicKey }));
  const response = got.response as AuthenticatorAssertionResponse;
  const credential = sent(got, {
    authenticatorData: text(response.authenticatorData),
    signature: text(response.signature),
  });
  await call("POST", "/owner/passkey", { credential });
}
