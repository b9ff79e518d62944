import { Drawer, Modal } from "@mantine/core";
import type { ReactNode } from "react";
import css from "./dialog.module.css";

/** A question or a sheet in the middle of the page. */
export const Dialog = ({
  opened,
  close,
  title,
  size = "md",
  children,
}: {
  opened: boolean;
  close: () => void;
  title: string;
  size?: "md" | "xl";
  children: ReactNode;
}) => (
  <Modal.Root opened={opened} onClose={close} size={size}>
    <Modal.Overlay />
    <Modal.Content>
      <div className={css.head}>
        <Modal.Title>{title}</Modal.Title>
        <Modal.CloseButton aria-label="Close" />
      </div>
      <Modal.Body>{children}</Modal.Body>
    </Modal.Content>
  </Modal.Root>
);

/** Something to look into beside what one is looking at. */
export const Side = ({
  opened,
  close,
  title,
  children,
}: {
  opened: boolean;
  close: () => void;
  title: string;
  children: ReactNode;
}) => (
  <Drawer.Root opened={opened} onClose={close} position="right" size="min(100vw, 34rem)">
    <Drawer.Overlay />
    <Drawer.Content>
      <div className={css.head}>
        <Drawer.Title>{title}</Drawer.Title>
        <Drawer.CloseButton aria-label="Close" />
      </div>
      <Drawer.Body>{children}</Drawer.Body>
    </Drawer.Content>
  </Drawer.Root>
);
