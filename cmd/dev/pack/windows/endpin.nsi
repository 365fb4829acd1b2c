; The installer: for who is signed in, so that no administrator is needed. What a player
; recorded and wrote lies elsewhere and stays when Endpin is removed.
Target amd64-unicode ; as the programs are
SetCompressor /SOLID lzma
SetDateSave off
ManifestDPIAware true
RequestExecutionLevel user
Name "Endpin"
OutFile "{{.out}}"
Icon endpin.ico
UninstallIcon endpin.ico
InstallDir "$LOCALAPPDATA\Programs\Endpin"
InstallDirRegKey HKCU "Software\Endpin" "Folder"
VIProductVersion {{.numbers}}
VIAddVersionKey ProductName "Endpin"
VIAddVersionKey FileDescription "Endpin"
VIAddVersionKey FileVersion "{{.version}}"
VIAddVersionKey ProductVersion "{{.version}}"
VIAddVersionKey CompanyName "The Endpin authors"
VIAddVersionKey LegalCopyright "The Endpin authors, MIT licence"

!define CLASSES "Software\Classes"
!define LISTED "Software\Microsoft\Windows\CurrentVersion\Uninstall\Endpin"

Page directory
Page instfiles
UninstPage uninstConfirm
UninstPage instfiles

; A kind of file that a double click opens, beside whatever else opens it.
!macro opens ENDING KIND
  WriteRegStr HKCU "${CLASSES}\${ENDING}\OpenWithProgids" "${KIND}" ""
!macroend
!macro kind KIND NAME
  WriteRegStr HKCU "${CLASSES}\${KIND}" "" "${NAME}"
  WriteRegStr HKCU "${CLASSES}\${KIND}\DefaultIcon" "" "$INSTDIR\endpin-desk.exe,0"
  WriteRegStr HKCU "${CLASSES}\${KIND}\shell\open\command" "" '"$INSTDIR\endpin-desk.exe" "%1"'
!macroend
!macro forget ENDING KIND
  DeleteRegValue HKCU "${CLASSES}\${ENDING}\OpenWithProgids" "${KIND}"
  DeleteRegKey /ifempty HKCU "${CLASSES}\${ENDING}\OpenWithProgids"
  DeleteRegKey /ifempty HKCU "${CLASSES}\${ENDING}"
!macroend

Section
  SetOutPath $INSTDIR
  File endpin-desk.exe
  File endpin.exe
  File ffmpeg.exe
  File licences.txt
  WriteUninstaller "$INSTDIR\remove.exe"
  CreateShortcut "$SMPROGRAMS\Endpin.lnk" "$INSTDIR\endpin-desk.exe"
  !insertmacro kind "Endpin.Homework" "Endpin homework"
  !insertmacro kind "Endpin.Piece" "Piece of music"
  !insertmacro opens ".endpin" "Endpin.Homework"
  WriteRegStr HKCU "${CLASSES}\.endpin" "" "Endpin.Homework"
  !insertmacro opens ".musicxml" "Endpin.Piece"
  !insertmacro opens ".mxl" "Endpin.Piece"
  !insertmacro opens ".abc" "Endpin.Piece"
  !insertmacro opens ".mid" "Endpin.Piece"
  WriteRegStr HKCU "Software\Endpin" "Folder" "$INSTDIR"
  WriteRegStr HKCU "${LISTED}" "DisplayName" "Endpin"
  WriteRegStr HKCU "${LISTED}" "DisplayVersion" "{{.version}}"
  WriteRegStr HKCU "${LISTED}" "Publisher" "The Endpin authors"
  WriteRegStr HKCU "${LISTED}" "DisplayIcon" "$INSTDIR\endpin-desk.exe,0"
  WriteRegStr HKCU "${LISTED}" "UninstallString" '"$INSTDIR\remove.exe"'
  WriteRegStr HKCU "${LISTED}" "QuietUninstallString" '"$INSTDIR\remove.exe" /S'
  WriteRegDWORD HKCU "${LISTED}" "NoModify" 1
  WriteRegDWORD HKCU "${LISTED}" "NoRepair" 1
  System::Call 'shell32::SHChangeNotify(i 0x08000000, i 0, p 0, p 0)' ; icons anew
SectionEnd

Section Uninstall
  Delete "$INSTDIR\endpin-desk.exe"
  Delete "$INSTDIR\endpin.exe"
  Delete "$INSTDIR\ffmpeg.exe"
  Delete "$INSTDIR\licences.txt"
  Delete "$INSTDIR\remove.exe"
  RMDir "$INSTDIR" ; where nothing else lies in it
  Delete "$SMPROGRAMS\Endpin.lnk"
  ReadRegStr $0 HKCU "${CLASSES}\.endpin" ""
  StrCmp $0 "Endpin.Homework" 0 +2
  DeleteRegValue HKCU "${CLASSES}\.endpin" ""
  !insertmacro forget ".endpin" "Endpin.Homework"
  !insertmacro forget ".musicxml" "Endpin.Piece"
  !insertmacro forget ".mxl" "Endpin.Piece"
  !insertmacro forget ".abc" "Endpin.Piece"
  !insertmacro forget ".mid" "Endpin.Piece"
  DeleteRegKey HKCU "${CLASSES}\Endpin.Homework"
  DeleteRegKey HKCU "${CLASSES}\Endpin.Piece"
  DeleteRegKey HKCU "${LISTED}"
  DeleteRegKey HKCU "Software\Endpin"
  System::Call 'shell32::SHChangeNotify(i 0x08000000, i 0, p 0, p 0)'
SectionEnd
