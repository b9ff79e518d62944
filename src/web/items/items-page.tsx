import { TextInput } from "@mantine/core";
import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useEffect, useState } from "react";
import type { ItemSummary } from "#contract";
import { Page } from "../face/page.tsx";
import parts from "../face/parts.module.css";
import { Verdict } from "../face/shapes.tsx";
import { questions, wordsOf } from "../station.ts";
import css from "./item-page.module.css";

const fits = ({ tag, serial, description, customer, place }: ItemSummary, wanted: string): boolean => {
  const all = [tag, serial, description, customer, place].join(" ").toLowerCase();
  return wanted
    .toLowerCase()
    .split(/\s+/)
    .every((word) => all.includes(word));
};

const Row = ({ item }: { item: ItemSummary }) => (
  <tr>
    <td>
      <Link to="/items/$item" params={{ item: item.item }} search={{ serial: item.serial }} className={css.tag}>
        {item.tag}
      </Link>
      <div className={parts.note}>{item.serial}</div>
    </td>
    <td>
      {item.description}
      <div className={parts.note}>
        {item.customer}, {item.place}
      </div>
    </td>
    <td className={parts.figure}>
      {item.runs}
      {item.rehearsals > 0 && (
        <div className={parts.note}>
          {item.rehearsals === item.runs ? "rehearsals" : `${item.rehearsals} rehearsed`}
        </div>
      )}
    </td>
    <td>
      <time dateTime={item.lastDay}>{item.lastDay}</time>
    </td>
    <td>
      <Verdict decision={item.decision} />
    </td>
  </tr>
);

/** Every item that was measured, with a way to what it showed over the years. */
export const ItemsPage = () => {
  const { data, error, isPending } = useQuery(questions.items);
  const [wanted, setWanted] = useState("");
  useEffect(() => {
    document.title = "Items · Dwellpoint";
  }, []);
  const shown = data?.filter((item) => fits(item, wanted.trim())) ?? [];
  return (
    <Page>
      <div className={css.head}>
        <h1>Items</h1>
        {data !== undefined && data.length > 0 && (
          <TextInput
            type="search"
            label="Search"
            placeholder="tag, serial number, customer, place"
            value={wanted}
            onChange={(event) => setWanted(event.currentTarget.value)}
            className={css.search}
          />
        )}
      </div>
      {isPending && <p role="status">Asking the station …</p>}
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          {wordsOf(error)}
        </p>
      )}
      {data?.length === 0 && (
        <p className={parts.section}>
          Nothing was measured yet. An item stands here once a run of it has ended: its errors over the years, how it
          drifts, and when it is due by that.
        </p>
      )}
      {data !== undefined && data.length > 0 && (
        <div className={css.list}>
          <p className={parts.note} role="status">
            {wanted.trim() === "" ? `${data.length} in all, by tag` : `${shown.length} of ${data.length} fit`}
          </p>
          <table className={parts.table}>
            <thead>
              <tr>
                <th scope="col">tag, serial number</th>
                <th scope="col">what, whose, where</th>
                <th scope="col" className={parts.figure}>
                  runs
                </th>
                <th scope="col">last</th>
                <th scope="col">statement then</th>
              </tr>
            </thead>
            <tbody>
              {shown.map((item) => (
                <Row key={`${item.item}/${item.serial}`} item={item} />
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Page>
  );
};
