#include "vision/reading/schema.h"

#include "vision/base/schema.h"
#include "vision/reading/schema_text.h"  // generated from reading.schema.json

namespace vision::reading {

Status CheckAgainstSchema(const std::string& text, const std::string& name) {
  return CheckJsonText(text, kReadingSchema, name, "`rootscroll measure`");
}

}  // namespace vision::reading
