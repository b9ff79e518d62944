import { Textarea } from "@mantine/core";
import { IconCamera, IconFileUpload } from "@tabler/icons-react";
import { useMutation } from "@tanstack/react-query";
import { useState, type DragEvent } from "react";
import type { BroughtAnswer } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { client, wordsOf } from "../station.ts";
import css from "./kit-page.module.css";
import { ProposalView } from "./proposal-view.tsx";
import { readPhoto } from "./read-photo.ts";

const bytesOf = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text);

const noCode = new Error(
  "No code was found in the photo. Hold the camera straight over the label, let the code fill half of the picture, and avoid a reflection.",
);

const fromFile = async (file: File): Promise<Uint8Array<ArrayBuffer>> => {
  if (!file.type.startsWith("image/")) return new Uint8Array(await file.arrayBuffer());
  const code = await readPhoto(file);
  if (code === null) throw noCode;
  return bytesOf(code);
};

const Chooser = ({
  label,
  accept,
  camera = false,
  chosen,
}: {
  label: string;
  accept?: string;
  camera?: boolean;
  chosen: (file: File) => void;
}) => (
  <span className={`${parts.button} ${css.choose}`}>
    {camera ? <IconCamera size={20} aria-hidden="true" /> : <IconFileUpload size={20} aria-hidden="true" />}
    {label}
    <input
      type="file"
      accept={accept}
      capture={camera ? "environment" : undefined}
      aria-label={label}
      onChange={(event) => {
        const file = event.currentTarget.files?.[0];
        if (file !== undefined) chosen(file);
        // The same file may be chosen again after it was corrected.
        event.currentTarget.value = "";
      }}
    />
  </span>
);

/** A probe's data sheet, certificate or label: dropped, chosen, photographed, scanned or pasted; then shown for approval. */
export const BringProbe = ({
  plugged,
  approved,
}: {
  /** What was read out of a plug, in place of a file. */
  plugged: BroughtAnswer | null;
  approved: (id: string) => void;
}) => {
  const [text, setText] = useState("");
  const [over, setOver] = useState(false);
  const bring = useMutation({
    mutationFn: async (what: File | string) =>
      client.bringProbe(typeof what === "string" ? bytesOf(what) : await fromFile(what)),
    onSuccess: () => setText(""),
  });
  const brought = bring.data ?? plugged;
  const dropped = (event: DragEvent): void => {
    event.preventDefault();
    setOver(false);
    const [file] = event.dataTransfer.files;
    if (file !== undefined) bring.mutate(file);
  };
  return (
    <section className={parts.section} aria-labelledby="bring-a-probe">
      <h2 id="bring-a-probe">Bring a probe</h2>
      <div
        className={css.drop}
        data-over={over}
        onDragOver={(event) => {
          event.preventDefault();
          setOver(true);
        }}
        onDragLeave={() => setOver(false)}
        onDrop={dropped}
      >
        <p>Its data sheet (TEDS), its certificate (DCC, XML) or its label. Drop a file here, or</p>
        <div className={css.ways}>
          <Chooser label="Choose a file" chosen={(file) => bring.mutate(file)} />
          <Chooser label="Photo of a label" accept="image/*" camera chosen={(file) => bring.mutate(file)} />
        </div>
        <Textarea
          label="Scan or paste"
          description="what a scanner types, or a data sheet in hexadecimal; Enter reads it"
          value={text}
          autosize
          minRows={2}
          maxRows={6}
          spellCheck={false}
          onChange={(event) => setText(event.currentTarget.value)}
          onKeyDown={(event) => {
            if (event.key !== "Enter" || event.shiftKey) return;
            event.preventDefault();
            if (text.trim() !== "") bring.mutate(text);
          }}
        />
        <div>
          <button
            type="button"
            className={parts.button}
            disabled={text.trim() === "" || bring.isPending}
            onClick={() => bring.mutate(text)}
          >
            Read it
          </button>
        </div>
        <p className={parts.note}>Nothing is recorded before you approve it.</p>
      </div>
      {bring.isPending && <p role="status">Reading …</p>}
      {bring.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{bring.error === noCode ? noCode.message : wordsOf(bring.error)}</span>
        </p>
      )}
      {brought !== null && (
        <ProposalView
          key={`${brought.brought} ${bring.submittedAt}`}
          brought={brought}
          approved={(id) => {
            bring.reset();
            approved(id);
          }}
        />
      )}
    </section>
  );
};
