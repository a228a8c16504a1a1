# cmake -DOUT=... -DLIST=file,file -DROOT=... -DROOM=joint -P embed.cmake: writes a C++ file of the room that holds the
# named files as text.
string(REPLACE "," ";" files "${LIST}")
set(text "// Made by app/embed.cmake from the files named below.\n#include \"app/${ROOM}/embedded.h\"\n\nnamespace app::${ROOM} {\nconst std::vector<EmbeddedFile>& EmbeddedFiles() {\n  static const std::vector<EmbeddedFile> files = {\n")
file(WRITE "${OUT}.part" "${text}")
foreach(name IN LISTS files)
  file(READ "${ROOT}/${name}" bytes)
  file(APPEND "${OUT}.part" "      {\"${name}\", R\"_file_(${bytes})_file_\"},\n")
endforeach()
file(APPEND "${OUT}.part" "  };\n  return files;\n}\n}  // namespace app::${ROOM}\n")
file(RENAME "${OUT}.part" "${OUT}")
