#include <nlohmann/json.hpp>

#include "app/book/record.h"
#include "app/book/shape.h"
#include "app/book/text_gate.h"
#include "app/joint/json_check.h"

namespace nlohmann {
template <class T>
struct adl_serializer<std::optional<T>> {
  static void to_json(json& out, const std::optional<T>& value) { out = value ? json(*value) : json(nullptr); }
  static void from_json(const json& in, std::optional<T>& value) {
    value = in.is_null() ? std::nullopt : std::optional<T>(in.get<T>());
  }
};
}  // namespace nlohmann

namespace app::book {

NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(FileRef, sha256, bytes, name, named, kind, held, path, from, settings,
                                                clock, zone)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(RecordingEntry, id, stage, joint_file, files)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(ReadingEntry, recordings, program_version, made_at, weld_found, reading,
                                                pictures)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(VerdictEntry, criterion, standard, edition, disposition, decided_by,
                                                exit_code, reading, file)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(ReportEntry, revision, made_at, files)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(PurgeRow, time, gas, oxygen_ppm, dew_point_c)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Purge, rows, source)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(CloseOut, when, by, after, found)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(FindingEntry, kind, iso6520, side, start_deg, end_deg, state,
                                                closed_because)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(RepairEntry, file, plan, cards, indication, answer)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(ChangeEntry, before, change, pictures)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Cycle, id, welder, welded_on, recordings, readings, verdicts, reports,
                                                purge, film, samples, closeouts, findings, repairs, changes, notes)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Annotation, author, at, cycle, text, theta_deg, z_mm)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Record, joint, line, material, insert_class, criterion, piece_a,
                                                piece_b, cycles, annotations)

namespace {
constexpr const char* kFormat = "rootscroll.record/1";

/// Leaves out what says nothing: "", [], {} and null.
nlohmann::json WithoutEmpty(const nlohmann::json& value) {
  const auto says_nothing = [](const nlohmann::json& item) {
    return item.is_null() || (item.is_string() && item.get_ref<const std::string&>().empty()) ||
           (item.is_structured() && item.empty());
  };
  nlohmann::json kept = value.is_structured() ? nlohmann::json(value.type()) : value;
  if (value.is_array())
    for (const auto& item : value) kept.push_back(WithoutEmpty(item));
  if (value.is_object())
    for (const auto& [key, item] : value.items())
      if (auto inner = WithoutEmpty(item); !says_nothing(inner)) kept[key] = std::move(inner);
  return kept;
}

/// Without what is null: the default stands for it.
nlohmann::json WithoutNull(const nlohmann::json& value) {
  nlohmann::json kept = value.is_structured() ? nlohmann::json(value.type()) : value;
  if (value.is_array())
    for (const auto& item : value) kept.push_back(WithoutNull(item));
  if (value.is_object())
    for (const auto& [key, item] : value.items())
      if (!item.is_null()) kept[key] = WithoutNull(item);
  return kept;
}
}  // namespace

std::string ToJson(const Record& record) {
  nlohmann::json json = WithoutEmpty(record);
  json["format"] = kFormat;
  return json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

namespace {
/// A record that has one of everything.
nlohmann::json SampleRecord() {
  Cycle cycle;
  FileRef file;
  file.from = {""};
  cycle.recordings = {{"", "", file, {file}}};
  cycle.readings = {{{""}, "", "", false, file, {file}}};
  cycle.verdicts = {{"", "", "", "", "", 3, "", file}};
  cycle.reports = {{0, "", {file}}};
  cycle.purge = {{{"", "", 0.5, 0.5}}, file};
  cycle.film = cycle.samples = cycle.notes = {file};
  cycle.closeouts = {{}};
  cycle.findings = {{"", "", "", 0.5, 0.5, "", ""}};
  cycle.repairs = {{file, file, {file}, "", ""}};
  cycle.changes = {{"", file, {file}}};
  Record record;
  record.cycles = {cycle};
  record.annotations = {{"", "", "", "", 0.5, 0.5}};
  nlohmann::json json = record;
  json["format"] = kFormat;
  return json;
}
}  // namespace

vision::Result<Record> FromJson(const std::string& text, const std::string& name) {
  auto parsed = app::joint::ParseJson(text, name);
  if (!parsed.ok()) return parsed.error();
  const nlohmann::json& json = parsed.value();
  if (!json.is_object()) return vision::BadInput(name + " is not a JSON object; it must be a record of a joint.");
  if (json.value("format", nlohmann::json()) != kFormat)
    return vision::BadInput(name + ": format must be \"" + kFormat + "\".");
  static const nlohmann::json sample = SampleRecord();
  if (auto wrong = CheckShape(name, json, sample)) return *wrong;
  try {
    return WithoutNull(json).get<Record>();
  } catch (const nlohmann::json::exception&) {
    return vision::BadInput(name + " cannot be read as the record of a joint.");
  }
}

vision::Status CheckTextsOf(const Record& record) { return CheckTexts("The record", nlohmann::json(record)); }

}  // namespace app::book
