/**
 * What outlives a reload without a connection: texts and files in the browser's own database; where that is missing,
 * texts in localStorage and files only while the page stays open.
 */

/**
 * @typedef {object} KeptStore
 * @property {(key: string) => Promise<any>} get undefined where nothing is kept
 * @property {(key: string, value: unknown) => Promise<boolean>} put true when it outlives a reload
 * @property {(key: string) => Promise<void>} remove
 * @property {(prefix: string) => Promise<string[]>} keys
 */

const DATABASE = "plugward-kept";
const STORE = "kept";

/**
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
function resultOf(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/**
 * @param {IDBFactory} factory
 * @returns {Promise<IDBDatabase>}
 */
function openDatabase(factory) {
  const request = factory.open(DATABASE, 1);
  request.onupgradeneeded = () => request.result.createObjectStore(STORE);
  return resultOf(request);
}

/**
 * Keep in the browser's database; a write counts once the browser says that it is stored.
 * @param {IDBDatabase} database
 * @returns {KeptStore}
 */
function databaseStore(database) {
  const reading = () => database.transaction(STORE, "readonly").objectStore(STORE);
  const write = (/** @type {(store: IDBObjectStore) => unknown} */ change) =>
    new Promise((/** @type {(isStored: boolean) => void} */ resolve) => {
      const transaction = database.transaction(STORE, "readwrite");
      transaction.oncomplete = () => resolve(true);
      transaction.onabort = transaction.onerror = () => resolve(false);
      change(transaction.objectStore(STORE));
    });
  return {
    get: (key) => resultOf(reading().get(key)),
    put: (key, value) => write((store) => store.put(value, key)),
    remove: async (key) => {
      await write((store) => store.delete(key));
    },
    keys: async (prefix) => (await resultOf(reading().getAllKeys())).map(String).filter((key) => key.startsWith(prefix)),
  };
}

/**
 * Keep texts in localStorage; what is no text (a file) stays in memory only.
 * @param {Storage | null} storage
 * @returns {KeptStore}
 */
export function textStore(storage) {
  const PREFIX = "plugward-kept:";
  /** @type {Map<string, unknown>} */
  const held = new Map();
  return {
    get: async (key) => {
      if (held.has(key)) return held.get(key);
      const text = storage?.getItem(PREFIX + key) ?? null;
      return text === null ? undefined : JSON.parse(text);
    },
    put: async (key, value) => {
      held.set(key, value);
      if (value instanceof Blob || !storage) return false;
      try {
        storage.setItem(PREFIX + key, JSON.stringify(value));
        return true;
      } catch {
        return false;
      }
    },
    remove: async (key) => {
      held.delete(key);
      storage?.removeItem(PREFIX + key);
    },
    keys: async (prefix) => {
      const stored = storage ? Object.keys(storage).filter((key) => key.startsWith(PREFIX)).map((key) => key.slice(PREFIX.length)) : [];
      return [...new Set([...held.keys(), ...stored])].filter((key) => key.startsWith(prefix));
    },
  };
}

/** @returns {Storage | null} */
function localStorageOrNone() {
  try {
    return localStorage;
  } catch {
    return null;
  }
}

/** @type {Promise<KeptStore> | null} */
let opened = null;

/**
 * The one store of this browser; never fails, at worst it lasts as long as the page.
 * @returns {Promise<KeptStore>}
 */
export function keptStore() {
  opened ??= (async () => {
    try {
      return databaseStore(await openDatabase(indexedDB));
    } catch {
      return textStore(localStorageOrNone());
    }
  })();
  return opened;
}
