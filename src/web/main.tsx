import "./before-paint.ts";
import "@fontsource-variable/atkinson-hyperlegible-next/wght.css";
import "@mantine/core/styles/baseline.css";
import "@mantine/core/styles/default-css-variables.css";
import "@mantine/core/styles/global.css";
import "@mantine/core/styles/UnstyledButton.css";
import "@mantine/core/styles/CloseButton.css";
import "@mantine/core/styles/ScrollArea.css";
import "@mantine/core/styles/ModalBase.css";
import "@mantine/core/styles/Modal.css";
import "@mantine/core/styles/Drawer.css";
import "@mantine/core/styles/Overlay.css";
import "@mantine/core/styles/Paper.css";
import "@mantine/core/styles/Group.css";
import "@mantine/core/styles/Input.css";
import "./face/tokens.css";
import "./face/base.css";
import "./face/library.css";
import { MantineProvider } from "@mantine/core";
import { QueryClientProvider } from "@tanstack/react-query";
import { RouterProvider } from "@tanstack/react-router";
import { createRoot } from "react-dom/client";
import { theme } from "./face/theme.ts";
import { router } from "./routes.tsx";
import { queryClient } from "./station.ts";

const place = document.querySelector("#root");
if (place === null) throw new Error("The page has no place for the station's pages.");

createRoot(place).render(
  <MantineProvider theme={theme} defaultColorScheme="auto">
    <QueryClientProvider client={queryClient}>
      <RouterProvider router={router} />
    </QueryClientProvider>
  </MantineProvider>,
);
