import { NativeSelect } from "@mantine/core";
import { certificateLanguages, type CertificateLanguage } from "#contract";
import css from "./issue-stage.module.css";
import { languageNames } from "./language-names.ts";

/** Which languages a certificate is written in: the one that holds, and further ones behind it. */
export const Languages = ({
  value,
  change,
}: {
  value: readonly CertificateLanguage[];
  change: (languages: readonly CertificateLanguage[]) => void;
}) => {
  const [first = "en", ...others] = value;
  return (
    <fieldset className={css.choice}>
      <legend>Languages</legend>
      <NativeSelect
        label="Written in"
        description="Where the languages differ, this one holds."
        value={first}
        data={certificateLanguages.map((language) => ({ value: language, label: languageNames[language] }))}
        onChange={(event) => {
          const chosen = event.currentTarget.value as CertificateLanguage;
          change([chosen, ...others.filter((language) => language !== chosen)]);
        }}
      />
      <div className={css.also} role="group" aria-label="Also in">
        <span>Also in</span>
        {certificateLanguages
          .filter((language) => language !== first)
          .map((language) => (
            <label key={language}>
              <input
                type="checkbox"
                checked={others.includes(language)}
                onChange={(event) =>
                  change(
                    event.currentTarget.checked
                      ? [first, ...others, language]
                      : [first, ...others.filter((other) => other !== language)],
                  )
                }
              />
              {languageNames[language]}
            </label>
          ))}
      </div>
    </fieldset>
  );
};
