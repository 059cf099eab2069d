/**
 * What the phone keeps: jobs, what they said before each of the last answers, and pictures.
 *
 * Each writing is one transaction: it is there whole or not at all. Where the browser keeps nothing, or has no room left, the
 * page says so and goes on.
 */

/** @typedef {{id: string, text: string, number: number, changed: number}} Kept A job: its text, and the number of its last change. */
/** @typedef {{id: string, job: string, file: string, sha256: string, bytes: Uint8Array<ArrayBuffer>}} Picture */

const MOST_UNDONE = 40;
const STORES = ["jobs", "before", "pictures"];

export class NotKept extends Error {}

export class Store {
  /** @param {IDBDatabase} base */
  constructor(base) {
    this.base = base;
  }

  /**
   * Open what the phone keeps for a place.
   * @param {string} name
   * @returns {Promise<Store>}
   * @throws {NotKept} The browser forbids it.
   */
  static open(name) {
    return new Promise((done, failed) => {
      const refused = () => failed(new NotKept("This browser keeps nothing here."));
      let asked;
      try {
        asked = indexedDB.open(name, 1);
      } catch {
        return refused();
      }
      asked.onupgradeneeded = () => {
        for (const one of STORES)
          asked.result.createObjectStore(one, { keyPath: one === "before" ? ["id", "number"] : "id" });
      };
      asked.onsuccess = () => done(new Store(asked.result));
      asked.onerror = asked.onblocked = refused;
    });
  }

  /** All jobs, the one that was changed last first. @returns {Promise<Kept[]>} */
  async jobs() {
    /** @type {Kept[]} */
    const found = await this.read("jobs", (store) => store.getAll());
    return found.sort((a, b) => b.changed - a.changed);
  }

  /** @param {string} id @returns {Promise<Kept|undefined>} */
  job(id) {
    return this.read("jobs", (store) => store.get(id));
  }

  /**
   * Keep a job, unless it was changed elsewhere since: then nothing is written, and what is there comes back.
   * @param {string} id
   * @param {string} text
   * @param {number} before The number of the change that this one follows.
   * @returns {Promise<Kept>} What is kept now.
   * @throws {NotKept} There is no room.
   */
  keep(id, text, before) {
    return this.write(["jobs", "before"], (stores, done) => {
      const [jobs, earlier] = stores;
      const read = jobs.get(id);
      read.onsuccess = () => {
        /** @type {Kept|undefined} */
        const there = read.result;
        if (there && there.number !== before) return done(there);
        const kept = { id, text, number: (there?.number ?? 0) + 1, changed: Date.now() };
        if (there) earlier.put({ id, number: there.number, text: there.text });
        earlier.delete([id, kept.number - MOST_UNDONE]);
        jobs.put(kept);
        done(kept);
      };
    });
  }

  /**
   * Take the last change of a job back.
   * @param {string} id
   * @returns {Promise<Kept|undefined>} What is kept now; nothing where there is none to take back.
   */
  undo(id) {
    return this.write(["jobs", "before"], (stores, done) => {
      const [jobs, earlier] = stores;
      const read = jobs.get(id);
      read.onsuccess = () => {
        /** @type {Kept} */
        const there = read.result;
        const last = earlier.openCursor(IDBKeyRange.bound([id, 0], [id, Infinity]), "prev");
        last.onsuccess = () => {
          if (!there || !last.result) return done(undefined);
          const kept = { id, text: last.result.value.text, number: there.number + 1, changed: Date.now() };
          last.result.delete();
          jobs.put(kept);
          done(kept);
        };
      };
    });
  }

  /** Take a job off this phone, with its pictures. @param {string} id @returns {Promise<void>} */
  async remove(id) {
    const pictures = await this.pictures(id);
    await this.write(STORES, ([jobs, earlier, kept], done) => {
      jobs.delete(id);
      earlier.delete(IDBKeyRange.bound([id, 0], [id, Infinity]));
      for (const one of pictures) kept.delete(one.id);
      done(undefined);
    });
  }

  /** @param {string} job @returns {Promise<Picture[]>} */
  pictures(job) {
    return this.read("pictures", (store) => store.getAll(IDBKeyRange.bound(`${job}\n`, `${job}\n\uffff`)));
  }

  /** @param {Omit<Picture, "id">} picture @returns {Promise<void>} */
  keepPicture(picture) {
    return this.write(["pictures"], ([store], done) => {
      store.put({ id: `${picture.job}\n${picture.file}`, ...picture });
      done(undefined);
    });
  }

  /** @param {string} name @param {(store: IDBObjectStore) => IDBRequest} ask @returns {Promise<any>} */
  read(name, ask) {
    return new Promise((done, failed) => {
      const asked = ask(this.base.transaction(name).objectStore(name));
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => failed(new NotKept("This phone cannot read what it keeps."));
    });
  }

  /**
   * @param {string[]} names
   * @param {(stores: IDBObjectStore[], done: (value: any) => void) => void} work
   * @returns {Promise<any>}
   */
  write(names, work) {
    return new Promise((done, failed) => {
      /** @type {any} */
      let value;
      const full = () => failed(new NotKept("There is no room left on this phone, or the browser keeps nothing here."));
      try {
        const going = this.base.transaction(names, "readwrite", { durability: "strict" });
        going.oncomplete = () => done(value);
        going.onabort = going.onerror = full;
        work(
          names.map((name) => going.objectStore(name)),
          (found) => (value = found),
        );
      } catch {
        full();
      }
    });
  }
}
